"""The body of the frames before is followed on to the frame on show: few points are left to be clicked.

Clicks go where the renderer's truth beside the sample clip has the point; so is what was proposed held
against it.
"""

import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.run import POINT_NAMES
from app.following.ahead import AheadDesk
from app.job_watch import JobWatch
from tests.helpers.clip_truth import SAMPLES, ClipTruth
from tests.helpers.films import project_on

MARKED, HERE = (300, 312), 324
FAR_PX = 4.5  # three times a click's usual error


TRUTH = ClipTruth("wing_day2")


@pytest.fixture
def marked_before(coach, window, tmp_path):
    """A coach on a frame without points; two frames before it hold whole bodies."""
    film = Path(shutil.copy(SAMPLES / "wing_day2.mp4", tmp_path / "wing.mp4"))
    path = project_on(film)
    with ProjectFile.open(path) as file:
        run = next(iter(file.project.runs.values()))
        gone = [Change(Kind.POINT, p.id, p, None, run.id) for p in run.points]
        new = [TRUTH.point(f, n) for f in MARKED for n in POINT_NAMES]
        placed = [Change(Kind.POINT, p.id, None, p, run.id) for p in new]
        file.commit(Command("", (*gone, *placed)))
    assert window.open_path(path)
    coach.wait_for_picture()
    coach.go_to(HERE)
    return coach


def tool(coach):
    return coach.workspace.toolbox.body


def here(coach):
    return {p.name: p for p in coach.bench.run.points if p.frame == HERE}


def off(point):
    return math.dist((point.u, point.v), TRUTH.place(HERE, point.name))


def begin(coach):
    """The head by a click, the rest asked for by a key."""
    coach.press("Shift+B")
    coach.click(*TRUTH.place(HERE, "head"))
    coach.press("Shift+C")


def wait_until_followed(coach):
    coach.qtbot.waitUntil(lambda: "followed to this frame" not in coach.view.accessibleDescription())


def test_a_whole_body_takes_few_clicks_where_one_was_placed_a_little_before(marked_before):
    coach = marked_before
    begin(coach)
    assert "is being followed to this frame" in coach.view.accessibleDescription()
    wait_until_followed(coach)
    proposed = {p.name: p for p in tool(coach).guesses}
    assert len(proposed) >= 7
    assert sum(off(p) > FAR_PX for p in proposed.values()) <= 1
    clicks = 1
    while name := tool(coach).asked:
        assert name not in proposed
        coach.click(*TRUTH.place(HERE, name))
        clicks += 1
    assert clicks + len(proposed) == 19
    assert "were followed here" in coach.view.accessibleDescription()
    coach.press("Return")
    assert set(here(coach)) == set(POINT_NAMES)
    assert np.median([off(here(coach)[name]) for name in proposed]) < 2.5
    for name in proposed:
        assert here(coach)[name].error_px > here(coach)["head"].error_px
    assert tool(coach).guesses == ()
    coach.press("Ctrl+Z")
    assert set(proposed).isdisjoint(here(coach))


def test_a_proposal_that_lies_wrong_is_dragged_and_is_then_a_placed_point(marked_before):
    coach = marked_before
    begin(coach)
    wait_until_followed(coach)
    guess = tool(coach).guesses[0]
    coach.zoom_to(guess.u, guess.v, 6.0)
    coach.drag((guess.u, guess.v), (guess.u + 3.0, guess.v))
    assert here(coach)[guess.name].u == pytest.approx(guess.u + 3.0)
    assert here(coach)[guess.name].error_px == here(coach)["head"].error_px
    assert guess.name not in {p.name for p in tool(coach).guesses}


@pytest.mark.parametrize("away", ["Esc", "Right", "Shift+T"])
def test_what_nobody_waits_for_any_more_does_not_come(marked_before, away):
    coach = marked_before
    begin(coach)
    watch = coach.workspace.toolbox.findChild(AheadDesk).findChild(JobWatch)
    assert watch.busy
    coach.press(away)
    coach.qtbot.waitUntil(lambda: not tool(coach).guesses)
    assert not watch.busy  # nothing is left that could come


def test_from_frames_far_away_the_copies_stay(marked_before):
    coach = marked_before
    coach.go_to(HERE + 60)
    coach.press("Shift+B")
    coach.press("Shift+C")
    assert len(tool(coach).guesses) == 19
    assert "followed to this frame" not in coach.view.accessibleDescription()
