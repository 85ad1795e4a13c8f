"""A sheet, its film and a project together."""

import json
import shutil

import pytest

from analysis.jobs.evidence import evidence_of_run, evidence_of_sheet
from analysis.jobs.sheets import add_sheet, sheet_of
from analysis.sheet import read_sheet
from analysis.store import ProjectFile
from analysis.values.errors import FilmError, MissingFilmError, SheetError
from analysis.values.tagging import TaggingError
from tests.analysis.film.making import Kind, make
from tests.helpers.sheets import sheet

FRAMES, RATE = 60, 240


def short_sheet(rate_hz=RATE, **film):
    """A sheet on a film of 60 frames; without times unless they are asked for."""
    content = sheet(frames=FRAMES, rate_hz=rate_hz)
    content |= {
        "stretch": [0, FRAMES - 1],
        "start": {"first_movement": 2, "rear_toe_off": 10, "front_toe_off": 14, "front_side": "right"},
        "footfalls": [{"side": "left", "touchdown": 20, "toe_off": 40, "unsure_frames": None}],
        "points": [],
        "lines": [],
    }
    content["film"] |= film
    return content


def without_times(content):
    del content["film"]["times_s"]
    return content


@pytest.fixture
def folder(tmp_path):
    """A folder with a film of 60 frames at 240 a second."""
    make(tmp_path / "clip.mp4", Kind(frames=FRAMES, rate=RATE))
    return tmp_path


def put(folder, content, name="run.json"):
    path = folder / name
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def test_the_film_is_opened_and_its_times_are_stored(folder):
    project = folder / "club.cinderlane"
    added = add_sheet(project, put(folder, without_times(short_sheet())))
    with ProjectFile.open(project) as file:
        run = file.project.runs[added.run_id]
        entry = file.project.films[run.film_id]
        assert entry.facts is None
        assert entry.fingerprint
        assert entry.path == str(folder / "clip.mp4")
        known = file.recorded_pts(run.film_id)
        ticks = known[40] - known[20]
        assert known[20] - known[0] == ticks
        content, _ = sheet_of(file, run, folder)
    assert content["film"]["times_s"] == pytest.approx([n / RATE for n in range(FRAMES)], abs=1e-4)
    assert without_times(content) == without_times(
        short_sheet() | {"film": {**content["film"], "times_s": 0}}
    )


def test_all_is_found_after_a_move(folder, tmp_path_factory):
    add_sheet(folder / "club.cinderlane", put(folder, without_times(short_sheet())))
    before, _ = evidence_of_run(folder / "club.cinderlane", None)
    moved = tmp_path_factory.mktemp("elsewhere") / "moved"
    shutil.move(folder, moved)
    after, notes = evidence_of_run(moved / "club.cinderlane", None)
    assert after == before
    assert not any("not the film" in note for note in notes)


def test_a_sheet_without_a_stretch_takes_the_whole_film(folder):
    content = without_times(short_sheet())
    del content["stretch"]
    path = put(folder, content)
    evidence, _ = evidence_of_sheet(path)
    assert (evidence.run.first_frame, evidence.run.last_frame) == (0, FRAMES - 1)
    add_sheet(folder / "club.cinderlane", path)
    assert evidence_of_run(folder / "club.cinderlane", None)[0].run.last_frame == FRAMES - 1


def test_frames_that_the_film_does_not_hold(folder):
    content = without_times(short_sheet())
    content["footfalls"][0]["toe_off"] = 60
    path = put(folder, content)
    for use in (evidence_of_sheet, lambda p: add_sheet(folder / "club.cinderlane", p)):
        with pytest.raises(SheetError, match="footfalls, number 1, toe_off: frame 60 is not in the film"):
            use(path)
    assert not (folder / "club.cinderlane").exists()


def test_times_of_a_sheet_tell_the_rate_of_a_film_that_plays_slowly(folder):
    make(folder / "clip.mp4", Kind(frames=FRAMES, rate=30))
    add_sheet(folder / "club.cinderlane", put(folder, short_sheet()))
    with ProjectFile.open(folder / "club.cinderlane") as file:
        (entry,) = file.project.films.values()
        assert entry.coach_rate_hz == RATE
    evidence, _ = evidence_of_run(folder / "club.cinderlane", None)
    assert evidence.film.times.at(40) == pytest.approx(40 / RATE, abs=1e-4)


def test_another_film_of_that_name_is_said(folder):
    add_sheet(folder / "club.cinderlane", put(folder, without_times(short_sheet())))
    make(folder / "clip.mp4", Kind(frames=FRAMES + 5, rate=RATE))
    _, notes = evidence_of_run(folder / "club.cinderlane", None)
    assert any("clip.mp4 is not the film that the run was marked on" in note for note in notes)


def test_another_number_of_frames_is_said(folder):
    make(folder / "clip.mp4", Kind(frames=FRAMES + 5, rate=RATE))
    added = add_sheet(folder / "club.cinderlane", put(folder, short_sheet()))
    assert any("The sheet counts 60 frames, the film has 65" in note for note in added.notes)


def test_film_that_is_none(folder):
    (folder / "clip.mp4").write_text("no film")
    with pytest.raises(FilmError, match="not a film"):
        add_sheet(folder / "club.cinderlane", put(folder, without_times(short_sheet())))
    added = add_sheet(folder / "club.cinderlane", put(folder, short_sheet()))
    assert any("added with the times of its sheet" in note for note in added.notes)


def test_times_alone_do(folder):
    content = short_sheet()
    del content["film"]["path"]
    path = put(folder, content)
    add_sheet(folder / "club.cinderlane", path)
    evidence, _ = evidence_of_run(folder / "club.cinderlane", None)
    assert evidence.film == read_sheet(path).facts
    with ProjectFile.open(folder / "club.cinderlane") as file:
        (run,) = file.project.runs.values()
        again, _ = sheet_of(file, run, folder)
    assert again == content


def test_a_film_that_went_and_had_no_times(folder):
    add_sheet(folder / "club.cinderlane", put(folder, without_times(short_sheet())))
    (folder / "clip.mp4").unlink()
    with pytest.raises(MissingFilmError, match="not there any more"):
        evidence_of_run(folder / "club.cinderlane", None)
    with ProjectFile.open(folder / "club.cinderlane") as file:
        (run,) = file.project.runs.values()
        content, notes = sheet_of(file, run, folder)
    assert content["film"] == {"path": "clip.mp4"}
    assert "not there any more" in notes[0]


def test_one_film_and_one_athlete_for_two_runs(folder):
    for name in ("First", "Second"):
        add_sheet(folder / "club.cinderlane", put(folder, short_sheet() | {"name": name}))
    heavier = short_sheet()
    heavier["athlete"]["mass_kg"] = 86.0
    add_sheet(folder / "club.cinderlane", put(folder, heavier))
    with ProjectFile.open(folder / "club.cinderlane") as file:
        project = file.project
    assert (len(project.runs), len(project.films), len(project.athletes)) == (3, 1, 2)


def test_the_same_sheet_twice_is_two_runs(folder):
    path = put(folder, short_sheet())
    first, second = (add_sheet(folder / "club.cinderlane", path).run_id for _ in range(2))
    assert first != second


def test_a_sheet_brings_its_tagging_error_along(folder):
    content = short_sheet() | {"tagging": {"s_s": 0.0035, "pairs": 22}}
    project = folder / "club.cinderlane"
    path = put(folder, content)
    added = add_sheet(project, path)
    evidence, _ = evidence_of_run(project, added.run_id)
    assert evidence.tagging == evidence_of_sheet(path)[0].tagging == TaggingError(0.0035, 22)
    again = add_sheet(project, path)  # the same one is not counted twice
    assert evidence_of_run(project, again.run_id)[0].tagging.pairs == 22
    other = add_sheet(project, put(folder, content | {"tagging": {"s_s": 0.008, "pairs": 12}}, "other.json"))
    assert any("8.0 ms, was left out: this project has one, 3.5 ms" in note for note in other.notes)
    assert evidence_of_run(project, other.run_id)[0].tagging == TaggingError(0.0035, 22)
