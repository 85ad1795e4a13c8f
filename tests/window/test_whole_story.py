"""The whole story on the demo project, by keys and mouse: a run read, a day planned for its first cause, the
film of a drill looked at, the next run read, the two compared, a report begun.

What is expected is what was put into the rendered runs and drills: ``sample_clips/NAME.truth.json`` beside
each.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from analysis.values.comparison import MeasureKey
from analysis.values.drill import Block
from analysis.values.questions import Question
from app import asking

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
TRUTH = {
    name: json.loads((SAMPLES / f"{name}.truth.json").read_text(encoding="utf-8"))
    for name in ("wing_day1", "wing_day2", "throw_kneeling")
}
FRAME_S = 1 / 120
"""Of the film of the drill."""
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def story(coach, tmp_path, monkeypatch):
    """A coach at the demo project, who saves a report under a name."""
    saved = str(tmp_path / "day 2")
    monkeypatch.setattr(asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (saved, ""))
    assert coach.window.open_demo()
    coach.wait_for_picture()
    return coach


def test_a_run_is_read_planned_for_run_again_compared_and_reported(story):
    first_day_names_the_fault_that_was_put_in(story)
    a_day_is_planned_for_it(story)
    a_drill_film_is_looked_at(story)
    second_day_is_without_it(story)
    the_two_are_compared(story)
    a_report_is_begun(story)


def first_day_names_the_fault_that_was_put_in(story):
    assert story.bench.run.name == "wing_day1"
    words = story.workspace.summary.answers.cause.text()
    put_in = [fault.partition(":")[0] for fault in TRUTH["wing_day1"]["hidden_faults"]]
    assert put_in == ["launch", "strike", "rhythm"]
    assert words.startswith("First cause: launch. The trunk opens before the hips go")
    assert "What departs later may follow from it: strike and rhythm" in words
    assert "not a diagnosis" in words
    # the sentence leads to the frames that it rests on
    departure = story.bench.reading.first_cause.departures[0]
    link = story.workspace.summary.answers.answers[Question.LAUNCH].departures[0]
    story.workspace.summary.ensureWidgetVisible(link.go)
    story.qtbot.mouseClick(link.go, LEFT)
    story.wait_for(int(departure.frames[0]))


def a_day_is_planned_for_it(story):
    before = set(story.bench.project.days)
    button = story.workspace.summary.answers.plan
    story.workspace.summary.ensureWidgetVisible(button)
    story.qtbot.mouseClick(button, LEFT)
    plan = story.window.plan_workspace
    assert story.window.workspaces.currentWidget() is plan
    story.press("Ctrl+Shift+P", on=plan.tree)
    (day,) = (one for key, one in story.bench.project.days.items() if key not in before)
    assert day.question is Question.LAUNCH
    assert [story.bench.project.athletes[one].code for one in day.athlete_ids] == ["W7"]
    assert day.of_block(Block.TARGETED)


def a_drill_film_is_looked_at(story):
    """Its reps stand side by side at the release, its numbers beside the film; the day waits behind it."""
    plan = story.window.plan_workspace
    plan.days.setFocus()
    for _ in range(plan.days.count()):
        if plan.day.id != "demo-day":
            story.press("Down", on=plan.days)
    places = [plan.tree.topLevelItem(n) for n in range(plan.tree.topLevelItemCount())]
    drills = [block.child(n) for block in places for n in range(block.childCount())]
    plan.tree.setFocus()
    throw = next(item for item in drills if item.text(0).startswith("Throw forwards from both knees"))
    plan.tree.setCurrentItem(throw)
    story.press("Ctrl+Return", on=plan.tree)
    page = plan.drill_film
    story.qtbot.waitUntil(lambda: page.film is not None and page.pane.shown >= 0)
    reps, row = TRUTH["throw_kneeling"]["reps"], page.row
    story.qtbot.waitUntil(lambda: len(row.tiles) == len(reps) and not row.working)
    for tile, rep in zip(row.tiles, reps, strict=True):
        at = story.bench.facts.times.at(tile.frame)
        assert abs(at - rep["events_s"]["release"]) < FRAME_S
    story.qtbot.mouseClick(row.tiles[1], LEFT)
    story.qtbot.waitUntil(lambda: page.pane.shown == row.tiles[1].frame)
    page.beside.setCurrentWidget(page.measures)
    reading = page.readings.one(page.film)
    for one, rep in zip(reading.reps, reps, strict=True):
        speed = one.result(MeasureKey("release_speed_m_s"))
        assert speed.low <= rep["measures"]["release_speed_m_s"] <= speed.high
    assert page.measures.table.isVisible()
    assert page.measures.table.columnCount() == len(reps)
    story.press("Ctrl+W", on=page.pane.view)
    assert plan.pages.currentIndex() == 0
    assert plan.day.id == "demo-day"
    story.press("Ctrl+1", on=plan)


def second_day_is_without_it(story):
    chooser = story.window.run_chooser
    chooser.setFocus()
    story.press("Down", on=chooser)
    story.qtbot.waitUntil(lambda: story.bench.run.name == "wing_day2")
    story.wait_for_picture()
    assert TRUTH["wing_day2"]["hidden_faults"] == []
    words = story.workspace.summary.answers.cause.text()
    assert words.startswith("No departure can be told")
    lead = next(one for one in story.bench.reading.posture if one.measure == "trunk_lead_deg")
    assert lead.result.low <= TRUTH["wing_day2"]["start"]["trunk_lead_deg"] <= lead.result.high


def the_two_are_compared(story):
    story.press("Ctrl+2")
    place = story.window.compare_workspace
    sides = (place.upper_side, place.lower_side)
    story.qtbot.waitUntil(lambda: all(s.look is not None and s.look.reading for s in sides))
    story.press("Ctrl+I", on=place.active.pane.view)
    panel = place.beside.differences
    rows = [panel.table.rows.row(n) for n in range(panel.table.rows.rowCount())]
    lead = next(row for row in rows if row.key.measure == "trunk_lead_deg")
    assert "differ" in lead.said
    runs = sorted((side.look.run for side in sides), key=lambda run: run.conditions.day)
    change = [TRUTH[run.name]["start"]["trunk_lead_deg"] for run in runs]
    assert lead.numbers[2].low <= change[1] - change[0] <= lead.numbers[2].high
    # one run a day: they differ, and that says nothing yet of the athlete
    assert "The runs differ" in panel.changed.text()
    story.press("Ctrl+1", on=place)


def a_report_is_begun(story):
    """How it ends is tested on a small film: here it would take longer than all else."""
    story.wait_for_picture()
    story.press("Ctrl+Shift+E")
    story.qtbot.mouseClick(story.window.report.dialog.write, LEFT)
    reporting = story.window.writing
    assert reporting.isVisible()
    story.qtbot.mouseClick(reporting.cancel, LEFT)
    assert "given up" in story.notice
