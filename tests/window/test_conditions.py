"""Conditions of a run and whom its bands are for, typed in; each is one edit and changes what is judged."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.questions import Question
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def noter(coach):
    """A coach at the first run of the demo, its facts on show."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.workspace.panels.show_panel(coach.workspace.facts)
    return coach


def type_in(coach, field, text):
    field.setFocus()
    field.selectAll()
    coach.qtbot.keyClicks(field, text)
    coach.press("Return", on=field)


def test_every_condition_is_kept(noter):
    form = noter.workspace.facts.conditions
    type_in(noter, form.day, "2026-03-20")
    noter.press("Down", on=form.stance)
    form.stance.activated.emit(form.stance.currentIndex())
    assert noter.bench.run.conditions.stance is Stance.PARALLEL
    noter.press("Up", on=form.stance)
    form.stance.activated.emit(form.stance.currentIndex())
    for field, text in (
        (form.load, "5"),
        (form.surface, "hall floor"),
        (form.shoe, "indoor"),
        (form.wind, "0"),
        (form.rep, "2"),
        (form.cue, "push the floor back"),
    ):
        type_in(noter, field, text)
    found = noter.bench.run.conditions
    assert found == Conditions(
        "2026-03-20", Stance.SPLIT, 5.0, "hall floor", "indoor", 0.0, 2, "push the floor back"
    )
    assert_accessible(form)


def test_a_day_that_is_none_is_said_and_not_kept(noter):
    form = noter.workspace.facts.conditions
    type_in(noter, form.day, "20.3.")
    assert "is no day" in noter.notice
    assert noter.bench.run.conditions.day == form.day.text() == "2026-03-06"


def test_starting_bands_are_off_for_a_child(noter):
    form = noter.workspace.facts.athlete
    assert noter.bench.reading.first_cause.question is Question.LAUNCH
    form.age.setCurrentIndex(form.age.findData(AgeGroup.CHILD))
    form.age.activated.emit(form.age.currentIndex())
    launch = noter.bench.reading.questions[0]
    assert all(one.band is None for one in launch.measures)
    noter.press("Ctrl+Z")
    assert noter.bench.reading.first_cause.question is Question.LAUNCH


def test_a_good_run_is_named_by_a_click(noter):
    good = noter.workspace.facts.conditions.good
    good.setFocus()
    noter.qtbot.keyClick(good, Qt.Key.Key_Space)
    assert noter.bench.run.named_good
