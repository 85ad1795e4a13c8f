"""One file, written at every edit, and what is said when that can't be."""

import hashlib
import shutil
import sqlite3
import threading
from dataclasses import replace
from typing import Any

import pytest

from analysis.store import ProjectFile, migrate
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import MissingFilmError, ProjectError
from analysis.values.film import FrameNumber
from analysis.values.project import Project, apply, bare, run_changes
from analysis.values.run import Athlete, BodyPoint, Footfall, GroundMark, Run, Side
from tests.helpers.privileges import as_ordinary_user, open_folder

MARK = GroundMark("m", 0.1, 0.0, FrameNumber(0), 1.5, 2.5)
FOOTFALL = Footfall("f", Side.LEFT, FrameNumber(20), FrameNumber(60))
RUN = Run("r", "film", "first", FrameNumber(0), FrameNumber(100), marks=(MARK,), footfalls=(FOOTFALL,))


def film(folder, name="clip.mp4"):
    return FilmEntry("film", str(folder / name), "digest")


def add_run(folder):
    return Command("add", (Change(Kind.FILM, "film", None, film(folder)), *run_changes(RUN)))


def rename(run, name):
    return Command("name", (Change(Kind.RUN, run.id, bare(run), bare(replace(run, name=name))),))


def move(old, new, run_id="r"):
    kind = {GroundMark: Kind.MARK, Footfall: Kind.FOOTFALL}[type(old)]
    return Command("move", (Change(kind, old.id, old, new, run_id),))


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture
def file(tmp_path):
    with ProjectFile.create(tmp_path / "a.cinderlane") as opened:
        opened.commit(add_run(tmp_path))
        yield opened


def test_a_new_project_is_empty_and_one_file(tmp_path):
    path = tmp_path / "new.cinderlane"
    with ProjectFile.create(path) as file:
        assert file.project == Project()
        assert not file.read_only
    with ProjectFile.open(path) as file:
        assert file.project == Project()
    assert [p.name for p in tmp_path.iterdir()] == ["new.cinderlane"]


def test_settings_that_durability_rests_on(file):
    said = {
        name: file._connection.exec_driver_sql(f"PRAGMA {name}").scalar()
        for name in ("journal_mode", "synchronous", "foreign_keys", "application_id", "user_version")
    }
    assert said == {
        "journal_mode": "delete",
        "synchronous": 3,  # EXTRA
        "foreign_keys": 1,
        "application_id": 0x434E444C,
        "user_version": migrate.VERSION,
    }


def test_header_names_program_and_version(file):
    header = file.path.read_bytes()[:100]
    assert header.startswith(b"SQLite format 3\0")
    assert header[68:72] == b"CNDL"
    assert header[60:64] == migrate.VERSION.to_bytes(4, "big")


def test_every_commit_is_there_for_the_next_to_open(file):
    after = file.commit(rename(RUN, "second"))
    assert after is file.project
    with ProjectFile.open(file.path) as other:
        assert other.project == after
        assert other.project.runs["r"].name == "second"
    assert [p.name for p in file.path.parent.iterdir()] == ["a.cinderlane"]


def test_create_takes_no_name_that_is_taken(file):
    before = digest(file.path)
    with pytest.raises(ProjectError, match="There is already a file"):
        ProjectFile.create(file.path)
    assert digest(file.path) == before


def test_create_in_a_folder_that_is_not_there(tmp_path):
    with pytest.raises(ProjectError, match="Choose a folder that exists"):
        ProjectFile.create(tmp_path / "nowhere" / "a.cinderlane")


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param((Change(Kind.MARK, "m", replace(MARK, u=9.0), MARK, "r"),), id="changed meanwhile"),
        pytest.param((Change(Kind.MARK, "n", None, replace(MARK, id="n"), "gone"),), id="no such run"),
        pytest.param((Change(Kind.MARK, "n", None, MARK, "r"),), id="another id"),
        pytest.param((Change(Kind.MARK, "f", None, FOOTFALL, "r"),), id="another kind"),
        pytest.param((Change(Kind.RUN, "s", None, replace(RUN, id="s")),), id="run with parts"),
        pytest.param(
            (Change(Kind.RUN, "s", None, bare(replace(RUN, id="s", film_id="x"))),), id="no such film"
        ),
        pytest.param(
            (Change(Kind.RUN, "s", None, bare(replace(RUN, id="s", athlete_id="x"))),), id="no such athlete"
        ),
        pytest.param((Change(Kind.RUN, "r", bare(RUN), None),), id="run before its parts"),
        pytest.param(
            (Change(Kind.FOOTFALL, "g", None, Footfall("g", Side.LEFT, None, None), "r"),), id="no event"
        ),
        pytest.param((Change(Kind.MARK, "m", MARK, replace(MARK, u=float("nan")), "r"),), id="nan"),
        pytest.param((Change(Kind.MARK, "m", MARK, replace(MARK, u=float("inf")), "r"),), id="inf"),
        pytest.param(
            (Change(Kind.MARK, "m", MARK, replace(MARK, frame=FrameNumber(2**70)), "r"),), id="huge frame"
        ),
        pytest.param(
            (Change(Kind.MARK, "m", MARK, replace(MARK, frame=FrameNumber(-1)), "r"),), id="frame below 0"
        ),
        pytest.param((Change(Kind.ATHLETE, "a", None, Athlete("a", "\ud800")),), id="no text"),
        pytest.param((Change(Kind.FILM, "g", None, FilmEntry("g", "clip.mp4", "")),), id="half a path"),
    ],
)
def test_a_command_that_does_not_fit_writes_nothing(file, changes):
    before, project = digest(file.path), file.project
    sound = Change(Kind.ATHLETE, "b", None, Athlete("b", "B1"))
    with pytest.raises(
        ProjectError, match=r"Nothing was altered|not in the project|remove|go together|first"
    ):
        file.commit(Command("wrong", (sound, *changes)))
    assert file.project == project
    assert digest(file.path) == before
    assert file.commit(Command("right", (sound,))) == apply(project, Command("right", (sound,)))


def test_film_and_athlete_stay_while_a_run_needs_them(file, tmp_path):
    with pytest.raises(ProjectError, match="remove the run first"):
        file.commit(Command("remove", (Change(Kind.FILM, "film", film(tmp_path), None),)))
    athlete = Athlete("a", "W7")
    file.commit(Command("who", (Change(Kind.ATHLETE, "a", None, athlete),)))
    given = replace(bare(RUN), athlete_id="a")
    file.commit(Command("who", (Change(Kind.RUN, "r", bare(RUN), given),)))
    with pytest.raises(ProjectError, match="still has runs"):
        file.commit(Command("remove", (Change(Kind.ATHLETE, "a", athlete, None),)))


def test_references_may_be_made_in_any_order_within_a_command(tmp_path):
    command = add_run(tmp_path)
    with ProjectFile.create(tmp_path / "b.cinderlane") as file:
        file.commit(Command("add", (*command.changes[1:], command.changes[0])))
        assert file.project.runs["r"] == RUN


def test_two_programs_never_overwrite_each_other(file):
    with ProjectFile.open(file.path) as other:
        moved = replace(MARK, u=7.0)
        other.commit(move(MARK, moved))
        # another object: taken in and kept
        after = file.commit(rename(RUN, "mine"))
        assert after.runs["r"].marks == (moved,)
        # the same object: refused, and what is there now is shown
        with pytest.raises(ProjectError, match="changed elsewhere"):
            other.commit(rename(RUN, "theirs"))
        assert other.project == after
        assert other.reload() == after


def test_a_writer_in_the_middle_of_its_edit_is_waited_for_and_then_named(file, monkeypatch):
    file._connection.exec_driver_sql("PRAGMA busy_timeout = 0")
    file._connection.rollback()
    other = sqlite3.connect(file.path, isolation_level=None)
    try:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(ProjectError, match="Another program is writing"):
            file.commit(rename(RUN, "mine"))
        other.execute("ROLLBACK")
    finally:
        other.close()
    assert file.commit(rename(RUN, "mine")).runs["r"].name == "mine"


def test_full_disk_loses_nothing(file):
    project = file.project
    pages = file._connection.exec_driver_sql("PRAGMA page_count").scalar()
    file._connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    file._connection.rollback()
    head = [BodyPoint(FrameNumber(n), "head", 1.0, 2.0) for n in range(400)]
    much = Command("much", tuple(Change(Kind.POINT, p.id, None, p, "r") for p in head))
    with pytest.raises(ProjectError, match=r"disk .* is full"):
        file.commit(much)
    assert file.project == project
    with ProjectFile.open(file.path) as other:
        assert other.project == project
    file._connection.exec_driver_sql("PRAGMA max_page_count = 100000")
    file._connection.rollback()
    assert len(file.commit(much).runs["r"].points) == 400


def test_write_protected_file_is_read_but_not_written(tmp_path):
    with open_folder() as folder:
        path = folder / "a.cinderlane"
        with ProjectFile.create(path) as file:
            project = file.commit(add_run(folder))
        before = digest(path)
        path.chmod(0o444)
        with as_ordinary_user(folder), ProjectFile.open(path) as file:
            assert file.read_only
            assert file.project == project
            with pytest.raises(ProjectError, match=r"write-protected\. Save a copy"):
                file.commit(rename(RUN, "no"))
            assert file.project == project
            file.save_copy(folder / "copy.cinderlane")
        assert digest(path) == before
        with ProjectFile.open(folder / "copy.cinderlane") as copy:
            assert not copy.read_only
            assert copy.commit(rename(RUN, "yes")).runs["r"].name == "yes"


def test_folder_that_becomes_protected_while_the_project_is_open():
    with open_folder() as folder:
        path = folder / "a.cinderlane"
        with ProjectFile.create(path) as file:
            file.commit(add_run(folder))
        with as_ordinary_user(folder), ProjectFile.open(path) as file:
            project = file.project
            folder.chmod(0o555)
            with pytest.raises(ProjectError, match=r"can't be written to|can't be read or written"):
                file.commit(rename(RUN, "no"))
            assert file.project == project
            with pytest.raises(ProjectError, match=r"No project can be made|can't be read or written"):
                file.save_copy(folder / "copy.cinderlane")
            with pytest.raises(ProjectError, match="Choose a folder"):
                ProjectFile.create(folder / "b.cinderlane")
            folder.chmod(0o755)
            assert file.commit(rename(RUN, "yes")).runs["r"].name == "yes"


def test_unreadable_file():
    with open_folder() as folder:
        path = folder / "a.cinderlane"
        ProjectFile.create(path).close()
        path.chmod(0o000)
        with as_ordinary_user(folder), pytest.raises(ProjectError, match="may not open it"):
            ProjectFile.open(path)


def test_films_are_found_when_all_is_moved_together(tmp_path):
    old, new = tmp_path / "old", tmp_path / "new"
    (old / "films").mkdir(parents=True)
    (old / "films" / "clip.mp4").write_bytes(b"film")
    with ProjectFile.create(old / "a.cinderlane") as file:
        file.commit(Command("film", (Change(Kind.FILM, "film", None, film(old, "films/clip.mp4")),)))
        assert file.find_film("film") == old / "films" / "clip.mp4"
    shutil.move(old, new)
    with ProjectFile.open(new / "a.cinderlane") as file:
        assert file.find_film("film") == new / "films" / "clip.mp4"
        assert file.project.films["film"].path == str(new / "films" / "clip.mp4")
    shutil.move(new / "films" / "clip.mp4", new / "clip.mp4")
    with ProjectFile.open(new / "a.cinderlane") as file:
        assert file.find_film("film") == new / "clip.mp4"
        (new / "clip.mp4").unlink()
        with pytest.raises(MissingFilmError, match="lay it beside the project file"):
            file.find_film("film")


def test_paths_are_stored_relative_with_slashes(file, tmp_path):
    raw = sqlite3.connect(file.path)
    try:
        assert raw.execute("SELECT path FROM film").fetchall() == [("clip.mp4",)]
    finally:
        raw.close()


def test_a_copy_elsewhere_finds_the_films_of_the_first(file, tmp_path):
    (tmp_path / "other").mkdir()
    file.save_copy(tmp_path / "other" / "b.cinderlane")
    with ProjectFile.open(tmp_path / "other" / "b.cinderlane") as copy:
        assert copy.project == file.project
    assert [p.name for p in (tmp_path / "other").iterdir()] == ["b.cinderlane"]
    with pytest.raises(ProjectError, match="already a file"):
        file.save_copy(tmp_path / "other" / "b.cinderlane")
    file.commit(rename(RUN, "later"))
    file.save_copy(tmp_path / "other" / "b.cinderlane", replace=True)
    with ProjectFile.open(tmp_path / "other" / "b.cinderlane") as copy:
        assert copy.project.runs["r"].name == "later"
    with pytest.raises(ProjectError, match="already a file"):
        file.save_copy(file.path, replace=True)


def test_a_plain_copy_of_the_open_file_is_whole(file, tmp_path):
    file.commit(rename(RUN, "now"))
    shutil.copy(file.path, tmp_path / "copy.cinderlane")
    with ProjectFile.open(tmp_path / "copy.cinderlane") as copy:
        assert copy.project == file.project


def test_frames_are_stored_with_the_films_time(file):
    assert file.recorded_pts("film") == {}
    file.commit(
        move(FOOTFALL, replace(FOOTFALL, touchdown=FrameNumber(21))), lambda film_id, frame: frame * 512
    )
    assert file.recorded_pts("film") == {21: 21 * 512, 60: 60 * 512}
    # an edit by somebody who does not know the times leaves those of frames that stay
    now = file.project.runs["r"].footfalls[0]
    file.commit(move(now, replace(now, toe_off=FrameNumber(61), unsure_frames=1)))
    assert file.recorded_pts("film") == {21: 21 * 512}
    assert file.recorded_pts("another") == {}


def test_numbers_of_numpy_are_stored_as_numbers(file):
    import numpy as np

    numbers: dict[str, Any] = {"frame": np.int64(7), "u": np.float64(0.1), "v": np.float32(0.5)}
    moved = replace(MARK, **numbers)
    file.commit(move(MARK, moved))
    with ProjectFile.open(file.path) as other:
        assert other.project == file.project
        assert type(other.project.runs["r"].marks[0].frame) is int


def test_only_the_thread_that_opened_it(file):
    met = []

    def elsewhere():
        for use in (lambda: file.commit(rename(RUN, "x")), file.reload, file.close):
            with pytest.raises(RuntimeError, match="on the thread that opened it"):
                use()
            met.append(use)

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert len(met) == 3
    assert file.project.runs["r"] == RUN


def test_closed_is_closed(file):
    file.close()
    file.close()
    with pytest.raises(RuntimeError, match="closed"):
        file.commit(rename(RUN, "x"))
    assert file.project.runs["r"] == RUN
