"""The table of differences beside both demo films: the readings' numbers, and a click goes to the step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from analysis.reading.compare import compare
from analysis.values.comparison import Claim
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def pair(coach):
    """A coach at both runs of the demo project, with the differences beside the films."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.press("Ctrl+2")
    place = coach.window.compare_workspace
    sides = (place.upper_side, place.lower_side)
    coach.qtbot.waitUntil(lambda: all(s.look is not None and s.look.reading for s in sides), timeout=20_000)
    coach.press("Ctrl+I", on=place.active.pane.view)
    assert place.beside.currentWidget() is place.beside.differences
    return coach


def readings(coach):
    place = coach.window.compare_workspace
    return [side.look.reading for side in (place.upper_side, place.lower_side)]


def test_what_differs_stands_in_the_table_and_two_runs_never_change_an_athlete(pair):
    panel = pair.window.compare_workspace.beside.differences
    upper, lower = readings(pair)
    rows = compare([upper], [lower]).rows
    differing = [row for row in rows if row.claim is Claim.DIFFERS]
    assert differing  # the second demo run was made without the faults of the first
    assert panel.table.rows.rowCount() == len(differing)
    assert "The runs differ" in panel.changed.text()
    assert all(row.change is None for row in rows)
    assert_accessible(panel)


def test_what_cannot_be_told_apart_is_shown_when_asked_for(pair):
    panel = pair.window.compare_workspace.beside.differences
    upper, lower = readings(pair)
    pair.qtbot.mouseClick(panel.every, Qt.MouseButton.LeftButton)
    if not panel.every.isChecked():
        pair.press("Space", on=panel.every)
    assert panel.table.rows.rowCount() == len(compare([upper], [lower]).rows)


def test_a_row_goes_to_its_step_on_the_film_in_hand(pair):
    place = pair.window.compare_workspace
    table = place.beside.differences.table
    row = next(n for n in range(table.rows.rowCount()) if table.rows.row(n).key.step == 3)
    table.setFocus()
    table.setCurrentIndex(table.rows.index(row, 0))
    pair.press("Return", on=table)
    touchdown = next(s.touchdown for s in place.active.look.reading.steps if s.step == 3)
    pair.qtbot.waitUntil(lambda: place.active.pane.shown == touchdown, timeout=20_000)


def test_the_table_is_copied_for_a_spreadsheet(pair):
    table = pair.window.compare_workspace.beside.differences.table
    pair.press("Ctrl+C", on=table)
    lines = QApplication.clipboard().text().strip().split("\n")
    assert len(lines) == table.rows.rowCount() + 1
    assert {line.count("\t") for line in lines} == {8}


def test_another_order_of_the_films_turns_the_signs(pair):
    place = pair.window.compare_workspace
    before = place.beside.differences.table.rows.row(0)
    pair.press("Y", on=place.active.pane.view)
    after = place.beside.differences.table.rows.row(0)
    assert after.key == before.key
    assert after.difference.value == pytest.approx(-before.difference.value)


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_what_can_be_said_stands_in_sight(pair, size):
    pair.window.resize(*size)
    QApplication.processEvents()
    table = pair.window.compare_workspace.beside.differences.table
    assert table.columnViewportPosition(3) + table.columnWidth(3) <= table.viewport().width()
