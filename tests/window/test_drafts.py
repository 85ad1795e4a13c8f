"""Drafts in the real window: a coach's count from the film to a confirmed step table, and what is said.

What the table has to say is the renderer's truth; where the marks lie is the clip's own sheet.
"""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest

from analysis.jobs.drafted import StripPicture
from analysis.values.estimate import Estimate
from analysis.values.run import Side
from app.marking.events import EventRef
from tests.helpers.films import project_on
from tests.window.coach import WAIT_MS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
SHEET = json.loads((SAMPLES / "wing_day1.json").read_text(encoding="utf-8"))
TRUTH = json.loads((SAMPLES / "wing_day1.truth.json").read_text(encoding="utf-8"))
MOST_ACTS = 25
FRAME_S = 1 / 240


class Counting:
    """Counts every key and click that goes through a coach's hands."""

    def __init__(self, coach):
        self.coach = coach
        self.acts = 0

    def press(self, key, on=None):
        self.acts += 1
        self.coach.press(key, on=on)

    def click(self, u, v):
        self.acts += 1
        self.coach.click(u, v)


@pytest.fixture
def wing(coach, window, tmp_path):
    """A coach in front of the sample clip, nothing marked on it."""
    film = Path(shutil.copy(SAMPLES / "wing_day1.mp4", tmp_path / "wing.mp4"))
    assert window.open_path(film)
    coach.wait_for_picture()
    return coach


def wait_for_drafts(coach):
    desk = coach.workspace.drafts
    coach.qtbot.waitUntil(lambda: not desk.busy, timeout=4 * WAIT_MS)
    coach.wait_for_picture()


def mark(u_v):
    found = next(m for m in SHEET["marks"] if (m["x_m"], m["y_m"]) == (u_v, 0.0))
    return found["u"], found["v"]


def test_from_the_film_to_a_confirmed_step_table_in_few_acts(wing):
    hand = Counting(wing)
    question = wing.workspace.toolbox.question
    hand.press("M")
    for x_m in (0.0, 5.0):  # the distances that are proposed
        hand.click(*mark(x_m))
        wing.qtbot.waitUntil(question.isVisible, timeout=WAIT_MS)
        hand.press("Return", on=question.along)
    hand.press("Escape")
    hand.press("Ctrl+D")
    wait_for_drafts(wing)
    drafted = wing.bench.run.footfalls
    assert len(drafted) >= 8
    assert all(f.draft for f in drafted)
    assert wing.bench.reading.steps == ()
    while any(f.draft for f in wing.bench.run.footfalls):
        wing.wait_for_picture()
        hand.press("Return")
        assert hand.acts <= 60
    assert hand.acts <= MOST_ACTS

    run, reading = wing.bench.run, wing.bench.reading
    assert [f.side for f in run.footfalls] == [Side(s["side"]) for s in TRUTH["steps"]][: len(run.footfalls)]
    assert len(reading.steps) == len(drafted)
    for step, true in zip(reading.steps, TRUTH["steps"], strict=False):
        # taken as drafted, unmoved: two frames at each end, as a draft is called right
        assert isinstance(step.contact_s, Estimate)
        assert step.contact_s.value == pytest.approx(true["contact_s"], abs=4.5 * FRAME_S)
        assert step.touchdown * FRAME_S == pytest.approx(true["touchdown_s"], abs=3 * FRAME_S)
        if isinstance(step.step_length_m, Estimate):
            assert step.step_length_m.low <= true["step_length_m"] <= step.step_length_m.high
    assert sum(isinstance(step.step_length_m, Estimate) for step in reading.steps) >= len(drafted) - 1
    assert len([p for p in run.points if p.name.endswith("toe")]) == len(drafted)
    # by hand the same events take more: steps of ten and of one frame to each, and a key on it
    frames = [f for fall in run.footfalls for f in (fall.touchdown, fall.toe_off)]
    by_hand = sum(sum(divmod(b - a, 10)) + 1 for a, b in zip([0, *frames], frames, strict=False))
    assert by_hand > 2 * hand.acts


def test_what_was_not_found_is_said_and_the_draft_is_one_edit(wing):
    before = wing.bench.project
    wing.press("Ctrl+D")
    assert wing.workspace.drafts.bar.cancel.isVisible()
    wait_for_drafts(wing)
    bar = wing.workspace.drafts.bar
    assert (
        "leaves the picture" in bar.words.text()
    )  # the truth: the last contact is cut off by the film's end
    assert bar.swap.isVisible()
    assert wing.bench.run.start.drafts
    wing.press("Ctrl+Z")
    assert wing.bench.project == before


def test_keys_move_refuse_and_confirm_a_draft(wing):
    wing.press("Ctrl+D")
    wait_for_drafts(wing)
    run = wing.bench.run
    first, second = run.footfalls[:2]
    assert wing.bench.selected == EventRef(first.id, "touchdown")
    wing.wait_for(first.touchdown)
    wing.press("Ctrl+Right")
    wing.wait_for(first.touchdown + 1)
    assert wing.bench.run.footfalls[0].touchdown == first.touchdown + 1
    assert wing.bench.run.footfalls[0].draft
    wing.press("Return")
    wing.wait_for(first.toe_off)
    wing.press("Return")
    wing.wait_for(second.touchdown)
    assert not wing.bench.run.footfalls[0].draft
    wing.press("Delete")
    wing.wait_for(run.footfalls[2].touchdown)
    assert second.id not in {f.id for f in wing.bench.run.footfalls}
    sides = [f.side for f in wing.bench.run.footfalls]
    wing.press("Shift+S")
    assert [f.side for f in wing.bench.run.footfalls] == [sides[0], *(side.other for side in sides[1:])]
    # on the rail Return goes on too
    rail = wing.workspace.rail
    third = run.footfalls[2]
    wing.press("Return", on=rail)
    wing.wait_for(third.toe_off)


def test_all_sure_drafts_are_confirmed_by_one_key(wing):
    wing.press("Ctrl+D")
    wait_for_drafts(wing)
    surest = max(f.confidence for f in wing.bench.run.footfalls)
    wing.workspace.drafts.bar.level.setValue(int(100 * surest))
    sure = [f.id for f in wing.bench.run.footfalls if f.confidence >= int(100 * surest) / 100]
    wing.press("Shift+Return")
    assert [f.id for f in wing.bench.run.footfalls if not f.draft] == sure
    wing.workspace.drafts.bar.level.setValue(100)
    wing.press("Shift+Return")
    assert "No draft is so sure" in wing.notice


def test_drafts_count_by_the_coach_s_word_only(wing):
    wing.press("Ctrl+D")
    wait_for_drafts(wing)
    action = wing.window.actions_table["count_drafts"]
    assert wing.bench.reading.steps == ()
    action.trigger()
    assert len(wing.bench.reading.steps) == len(wing.bench.run.footfalls)
    assert any("nobody has confirmed" in note for note in wing.bench.reading.notes)
    action.trigger()
    assert wing.bench.reading.steps == ()


def test_a_film_without_a_runner_says_so(coach, window, small):
    """The small film's pictures are noise and bars: nobody runs there."""
    assert window.open_path(project_on(small))
    coach.wait_for(20)
    before = coach.bench.run
    coach.press("Ctrl+D")
    wait_for_drafts(coach)
    assert coach.bench.run == before
    bar = coach.workspace.drafts.bar
    assert bar.isVisible()
    assert bar.words.text()
    bar.close_notes.click()
    assert not bar.isVisible()


def test_looking_can_be_cancelled(wing):
    before = wing.bench.project
    wing.press("Ctrl+D")
    bar = wing.workspace.drafts.bar
    bar.cancel.click()
    wait_for_drafts(wing)
    assert wing.bench.project == before
    assert "was stopped" in wing.notice
    assert not bar.isVisible()


def test_the_strip_begins_on_the_frame_that_the_film_shows(marked):
    """A strip comes while the film stands: its playhead is where the rail's is."""
    marked.go_to(40)
    drafts, run = marked.workspace.drafts, marked.bench.run
    bare = np.zeros((marked.bench.film.frames, 160), dtype=np.uint8)
    drafts._strips[run.id] = StripPicture(bare, 0.0, 0.0, 100.0)
    drafts.strip_changed.emit()
    assert marked.workspace.beside.strip.isVisible()
    assert marked.workspace.beside.strip.value() == marked.workspace.rail.value() == 40
