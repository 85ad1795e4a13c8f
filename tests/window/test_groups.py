"""Athletes stand in groups by their first causes; one click makes a day for a group."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from analysis.values.command import Change, Command, Kind
from analysis.values.drill import Block
from analysis.values.project import bare
from analysis.values.questions import Question
from analysis.values.run import Athlete
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def grouper(coach):
    """A coach at the groups of the demo project, one more athlete in it who never ran."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    newcomer = Athlete("new", "N3")
    coach.bench.edit(Command("", (Change(Kind.ATHLETE, "new", None, newcomer),)))
    return coach


def groups(coach):
    """Go to the groups; by their headings."""
    coach.press("Ctrl+3")
    place = coach.window.plan_workspace
    place.beside.tabBar().setFocus()
    if place.beside.currentIndex() == 0:
        coach.press("Right", on=place.beside.tabBar())
    coach.qtbot.waitUntil(lambda: bool(place.groups.groups))
    return {words_of(view)[0]: view for view in place.groups.groups}


def words_of(view) -> list[str]:
    return [label.text() for label in view.findChildren(QLabel)]


def put_last(coach, name):
    """A run becomes the newest by its day."""
    run = next(one for one in coach.bench.project.runs.values() if one.name == name)
    later = replace(run, conditions=replace(run.conditions, day="2026-04-17"))
    coach.bench.edit(Command("", (Change(Kind.RUN, run.id, bare(run), bare(later)),)))


def test_athletes_stand_by_the_first_cause_of_their_newest_run_and_the_doubtful_apart(grouper):
    # put into the demo runs: the trunk opens first on day 1, nothing departs on day 2, the newer
    found = groups(grouper)
    assert list(found) == ["Nothing departs", "Doubtful: look yourself"]
    doubtful = words_of(found["Doubtful: look yourself"])
    assert "N3" in doubtful
    assert "No run yet" in doubtful[-1]
    assert not found["Doubtful: look yourself"].plan.isVisible()
    assert_accessible(grouper.window.plan_workspace)


def test_one_click_makes_a_day_for_a_group_within_its_minutes(grouper):
    put_last(grouper, "wing_day1")
    found = groups(grouper)
    page = grouper.window.plan_workspace.groups
    page.minutes.setFocus()
    page.minutes.selectAll()
    grouper.qtbot.keyClicks(page.minutes, "40")
    grouper.qtbot.mouseClick(found["Launch"].plan, Qt.MouseButton.LeftButton)
    (day,) = (one for one in grouper.bench.project.days.values() if one.id != "demo-day")
    assert (day.question, day.minutes, day.stations) == (Question.LAUNCH, 40, 1)
    assert [grouper.bench.project.athletes[one].code for one in day.athlete_ids] == ["W7"]
    assert day.of_block(Block.TARGETED)
    assert "are there" not in grouper.window.plan_workspace.minds.text()
    grouper.press("Ctrl+Z", on=grouper.window.plan_workspace)
    assert list(grouper.bench.project.days) == ["demo-day"]


def test_a_click_on_an_athlete_shows_the_run_and_the_coachs_word_moves_the_athlete(grouper):
    found = groups(grouper)
    grouper.qtbot.mouseClick(found["Nothing departs"].names[0], Qt.MouseButton.LeftButton)
    assert grouper.window.workspaces.currentWidget() is grouper.workspace
    assert grouper.bench.run.name == "wing_day2"
    form = grouper.workspace.summary.answers.coach
    grouper.workspace.summary.ensureWidgetVisible(form.open)
    grouper.qtbot.mouseClick(form.open, Qt.MouseButton.LeftButton)
    grouper.press("Down", 2, on=form.question)
    grouper.qtbot.keyClicks(form.reason, "shoe slipped")
    grouper.press("Return", on=form.reason)
    found = groups(grouper)
    grouper.qtbot.waitUntil(
        lambda: any("shoe slipped" in line for view in page_views(grouper) for line in words_of(view))
    )
    assert [words_of(view)[0] for view in page_views(grouper)] == ["Strike", "Doubtful: look yourself"]


def page_views(coach):
    return coach.window.plan_workspace.groups.groups


def test_without_athletes_the_page_says_what_to_do(coach):
    coach.press("Ctrl+3")
    place = coach.window.plan_workspace
    place.beside.setCurrentWidget(place.groups)
    coach.qtbot.waitUntil(lambda: "Name the athlete" in place.groups.words.text())
