"""The demo project shows posture at once."""

from __future__ import annotations

import json

import numpy as np
import pytest

import sample_clips
from analysis.cli import main
from analysis.jobs.following import load_tracks
from analysis.sheet import read_sheet
from analysis.store import ProjectFile
from analysis.values.conditions import AgeGroup, Stance
from app.demo import CLIPS, SAMPLES, demo_project, sheet_of, tracks_of
from app.demo_drills import DRILLS
from app.followed import Followed
from sample_clips.clicks import CLICK_ERROR_PX, clicked, read_clicked
from sample_clips.truth import read_truth

REMAKE = "run: python -m tests.bench.demo_tracks"


def test_every_run_of_the_demo_begins_with_followed_bodies(tmp_path):
    with ProjectFile.open(demo_project(tmp_path)) as file:
        runs = list(file.project.sprints)
        assert len(runs) == len(CLIPS)
        for run in runs:
            tracks = Followed().of(file, run).tracks
            assert tracks is not None, f"points, film or method changed since they were followed; {REMAKE}"
            assert len(tracks.names) == 19


@pytest.mark.parametrize("clip", CLIPS)
def test_what_was_clicked_is_the_truth_within_a_click(clip):
    """Against the renderer's truth."""
    truth = read_truth(SAMPLES, clip)
    names = [str(name) for name in truth.arrays["names"]]
    points = read_sheet(sheet_of(clip)).run.points
    off = [np.subtract((p.u, p.v), truth.arrays["pixels"][p.frame, names.index(p.name)]) for p in points]
    assert len(points) > 500
    assert np.std(off) == pytest.approx(CLICK_ERROR_PX, rel=0.1)
    assert np.mean(off) == pytest.approx(0.0, abs=4 * CLICK_ERROR_PX / np.sqrt(2 * len(points)))


@pytest.mark.parametrize("clip", CLIPS)
def test_the_stored_clicks_are_what_the_renderer_would_write(clip):
    folder = sample_clips.__path__[0]
    assert SAMPLES.samefile(folder)
    assert clicked(read_truth(SAMPLES, clip)) == read_clicked(SAMPLES, clip)


@pytest.mark.parametrize("clip", CLIPS)
def test_what_was_followed_stays_near_the_truth(clip):
    """Against the renderer's truth: the clip shows about 88 px per metre, so 5 px are 6 cm."""
    truth, tracks = read_truth(SAMPLES, clip), load_tracks(tracks_of(clip))
    columns = [[str(n) for n in truth.arrays["names"]].index(name) for name in tracks.names]
    seen = truth.arrays["pixels"][tracks.first : tracks.last + 1][:, columns]
    off = np.linalg.norm(tracks.places - seen, axis=2)
    assert np.nanmedian(off) < 2.5
    assert np.nanpercentile(off, 95) < 8.0


def test_both_runs_are_one_adults_from_a_split_stance_on_two_days(tmp_path):
    with ProjectFile.open(demo_project(tmp_path)) as file:
        (athlete,) = file.project.athletes.values()
        runs = list(file.project.sprints)
    assert athlete.age is AgeGroup.ADULT
    assert {run.athlete_id for run in runs} == {athlete.id}
    assert {run.conditions.stance for run in runs} == {Stance.SPLIT}
    assert {run.conditions.day for run in runs} == set(CLIPS.values())


def test_the_first_day_has_two_films_of_its_drills_read_within_the_truth(tmp_path, capsys):
    """Against the renderer's truth, through the command line."""
    path = demo_project(tmp_path)
    with ProjectFile.open(path) as file:
        (day,) = file.project.days.values()
        drills = {one.drill_id for one in day.drills}
        assert {film.drill_id for film in file.project.drill_films.values()} == set(DRILLS.values()) <= drills
        assert len(file.project.sprints) == len(CLIPS)
    assert main(["drills", str(path), "--day", day.date]) == 0
    told = {drill["drill"]: drill for drill in json.loads(capsys.readouterr().out)["drills"]}
    for clip, drill_id in DRILLS.items():
        truth = json.loads((SAMPLES / f"{clip}.truth.json").read_text(encoding="utf-8"))
        (film,) = told[drill_id]["films"]
        assert [(rep["set"], rep["number"]) for rep in film["reps"]] == [
            (1, of["number"]) for of in truth["reps"]
        ]
        for rep, of in zip(film["reps"], truth["reps"], strict=True):
            found = {measure["measure"]: measure["number"] for measure in rep["measures"]}
            for name, true in of["measures"].items():
                assert found[name]["low"] <= true <= found[name]["high"], name
        assert told[drill_id]["best"] == film["reps"][-1]["rep"]


def test_a_day_that_is_not_there_is_named(tmp_path, capsys):
    assert main(["drills", str(demo_project(tmp_path)), "--day", "2020-01-01"]) == 2
    assert "2026-03-06" in capsys.readouterr().err
