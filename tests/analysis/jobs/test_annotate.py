"""An annotated film, written here and in a process beside, decoded again with PyAV."""

import time
from dataclasses import replace
from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.cli import main
from analysis.film.reader import ReadingStopped
from analysis.jobs.annotate import AnnotateJob, annotate
from analysis.jobs.child import JobState
from analysis.jobs.export import part_of
from analysis.jobs.film_wish import FilmWish
from analysis.report.film_order import Pace
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import CinderlaneError, MissingFilmError
from tests.analysis.film.making import drawn
from tests.helpers.films import FOOTFALLS, FRAMES, SIZE, project_on, small_film


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("clip") / "clip.mp4")


@pytest.fixture
def film(clip, tmp_path):
    path = tmp_path / "clip.mp4"
    path.write_bytes(clip.read_bytes())
    return path


@pytest.fixture
def project(film):
    return project_on(film)


def decoded(path):
    with av.open(str(path)) as container:
        return [(f.pts * f.time_base, f.to_ndarray(format="rgb24")) for f in container.decode(video=0)]


def frame_shown(picture, among=range(256)):
    """Which frame of the film a picture is, by a part of it where nothing is drawn; such parts come again
    after 256 frames.
    """
    here = picture.astype(int)[60:95, 200:]
    return min(among, key=lambda n: np.abs(here - drawn(n, SIZE)[60:95, 200:]).mean())


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def test_frames_times_and_holds_are_as_ordered(project, tmp_path):
    shares = []
    annotate(project, None, tmp_path / "out.mp4", FilmWish(Pace(0.5, hold_s=0.1)), say=shares.append)
    found = decoded(tmp_path / "out.mp4")
    # 240 a second at half of real time on 60 pictures a second: every second frame; six more at a touchdown
    wanted = list(range(0, FRAMES, 2))
    for _, _, down, _ in FOOTFALLS:
        place = next(n for n, frame in enumerate(wanted) if frame >= down)
        wanted[place:place] = [down] * 6
    assert len(found) == len(wanted)
    assert [time_s for time_s, _ in found] == [Fraction(n, 60) for n in range(len(wanted))]
    for n in (0, 10, 47, 50, 60, 100, len(wanted) - 1):
        assert frame_shown(found[n][1], range(wanted[n] - 20, wanted[n] + 20)) == wanted[n]
    assert shares[-1] == 1.0
    assert shares == sorted(shares)


def test_a_line_is_where_the_run_has_it_measured_back_from_the_film(project, tmp_path):
    annotate(project, None, tmp_path / "out.mp4", FilmWish(Pace(1.0, hold_s=0.2)))
    held = [p for _, p in decoded(tmp_path / "out.mp4") if frame_shown(p) == FOOTFALLS[0][2]]
    picture = np.mean(held, axis=0)
    # the trunk of the run is a white line from (80, 100) to (110, 70) in a dark hem
    white = np.clip(picture.min(axis=2) - 150, 0, None)
    away = []
    for n in range(2, 28, 2):
        u, v = 80 + n, 100 - n
        square = white[v - 3 : v + 4, u - 3 : u + 4]
        rows, columns = np.mgrid[-3:4, -3:4]
        away.append(((rows + columns) * square).sum() / square.sum() / 2**0.5)
    assert np.abs(away).max() < 1.0


def test_a_film_that_was_made_beside_is_the_same_and_nothing_else_is_left(project, film, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    wish = FilmWish(Pace(1.0))
    job = AnnotateJob(project, "run0", film, folder / "beside.mp4", wish)
    job._process.wait(120)
    assert job.result().path == folder / "beside.mp4"
    assert job.progress == 1.0
    job.close()
    assert names_in(folder) == ["beside.mp4"]
    annotate(project, None, folder / "here.mp4", wish)
    beside, here = (decoded(folder / name) for name in ("beside.mp4", "here.mp4"))
    assert len(beside) == len(here)
    same, next_one = (np.abs(beside[20][1].astype(int) - here[n][1]).mean() for n in (20, 21))
    assert same < 5 < next_one  # lossy, and otherwise so on one thread


def test_stopped_half_way_nothing_is_left_and_what_stood_there_stays(project, film, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    out = folder / "a.mp4"
    out.write_bytes(b"before")
    job = AnnotateJob(project, "run0", film, out, FilmWish(Pace(0.02)))
    ends = time.monotonic() + 60
    while not part_of(out).exists() and time.monotonic() < ends:
        assert job.poll() is JobState.RUNNING
    job.cancel()
    with pytest.raises(CinderlaneError, match="stopped"):
        job.result()
    job.close()
    assert names_in(folder) == ["a.mp4"]
    assert out.read_bytes() == b"before"


def test_given_up_between_frames_nothing_is_left(project, tmp_path):
    asked = iter([False] * 20)
    folder = tmp_path / "out"
    folder.mkdir()
    with pytest.raises(ReadingStopped):
        annotate(project, None, folder / "a.mp4", FilmWish(), stopped=lambda: next(asked, True))
    assert names_in(folder) == []


def test_all_runs_of_a_project_are_written_and_those_that_can_not_be_are_named(film, tmp_path, capfdbinary):
    project = project_on(film, runs=2)
    with ProjectFile.open(project) as file:
        run = file.project.runs["run1"]
        gone = replace(run.footfalls[1], touchdown=None)
        file.commit(Command("", (Change(Kind.FOOTFALL, gone.id, run.footfalls[1], gone, "run1"),)))
    told = ["annotate", str(project), "--speed", "1", "--from", "touchdown:1", "--to", "touchdown:2"]
    assert main([*told, "--out", str(tmp_path / "films")]) == 4
    said = capfdbinary.readouterr()
    assert names_in(tmp_path / "films") == ["first.mp4"]
    assert said.out.decode().split() == [str(tmp_path / "films" / "first.mp4")]
    assert "second was left out. touchdown:2 is not tagged" in said.err.decode()
    assert len(decoded(tmp_path / "films" / "first.mp4")) == 14  # frame 90 to 145, every fourth


@pytest.mark.parametrize("name", ["a.gif", "a.mov", "a"])
def test_a_name_that_says_another_kind_of_file_is_refused(project, tmp_path, name):
    with pytest.raises(CinderlaneError, match=r"\.mp4 for a film"):
        annotate(project, None, tmp_path / name, FilmWish())
    assert not (tmp_path / name).exists()


def test_neither_film_nor_project_is_written_over(project, film):
    kept = film.read_bytes()
    for held in (film, project):
        with pytest.raises(CinderlaneError, match="another name"):
            annotate(project, None, held, FilmWish())
    assert film.read_bytes() == kept


def test_what_can_not_be_written_is_said_and_so_is_a_film_that_is_gone(project, film, tmp_path):
    with pytest.raises(CinderlaneError, match="Choose another folder"):
        annotate(project, None, tmp_path / "gone" / "a.mp4", FilmWish())
    film.rename(film.with_suffix(".elsewhere"))
    with pytest.raises(MissingFilmError):
        annotate(project, None, tmp_path / "a.mp4", FilmWish())
    assert not (tmp_path / "a.mp4").exists()
