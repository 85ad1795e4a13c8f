"""Times from gates in the window: typed, imported, taken out, beside the film's split."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from app import asking
from app.run.gates_dialog import GatesDialog
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def gates(coach):
    """A coach at the gate times of the demo project."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.window.actions_table["gate_times"].trigger()
    dialog = coach.window.findChild(GatesDialog)
    coach.qtbot.waitUntil(dialog.isVisible)
    yield coach, dialog
    dialog.close()


def type_time(coach, dialog, day, distance, time):
    for field, text in ((dialog.day, day), (dialog.distance, distance), (dialog.time, time)):
        field.clear()
        coach.qtbot.keyClicks(field, text)
    coach.qtbot.keyClick(dialog.time, Qt.Key.Key_Return)


def cell(dialog, row, column):
    return dialog.table.item(row, column).text()


def test_a_typed_time_stands_against_the_films_split(gates):
    coach, dialog = gates
    type_time(coach, dialog, "6.3.2026", "5", "1,62")
    assert dialog.table.rowCount() == 1
    assert [cell(dialog, 0, n) for n in (1, 2, 3)] == ["2026-03-06", "5", "1.62"]
    split = next(s for s in coach.bench.reading.splits if s.x_m == 5.0)
    shown, half = (float(part) for part in cell(dialog, 0, 5).split(" ± "))
    assert abs(shown - (1.62 - split.time_s.value)) < 0.0006
    assert half >= split.time_s.half_width - 0.0006
    coach.qtbot.keyClick(dialog.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    head, copied = (line.split("\t") for line in QGuiApplication.clipboard().text().splitlines())
    there = dict(zip(head, copied, strict=True))
    assert (float(there["gate less film, s"]), float(there["± gate less film, s"])) == (shown, half)
    assert_accessible(dialog)
    coach.window.actions_table["undo"].trigger()
    assert dialog.table.rowCount() == 0


def test_what_nobody_runs_is_said_and_nothing_comes_in(gates):
    coach, dialog = gates
    type_time(coach, dialog, "2026-03-06", "10", "0.5")
    assert "faster than anybody runs" in coach.notice
    type_time(coach, dialog, "2026-02-30", "10", "2.0")
    assert "is no day" in coach.notice
    assert dialog.table.rowCount() == 0


def test_a_table_comes_in_and_its_bad_lines_are_said(gates, tmp_path, monkeypatch):
    coach, dialog = gates
    table = tmp_path / "gates.csv"
    code = dialog.athlete.itemText(0)
    lines = (
        "date;athlete;distance;time",
        f"6.3.2026;{code};5;1,62",
        "x;y;5;1,6",
        f"20.3.2026;{code};10;2,31",
    )
    table.write_text("\n".join(lines), encoding="utf-8")
    monkeypatch.setattr(asking, "table_to_open", lambda _: table)
    coach.qtbot.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert dialog.table.rowCount() == 2
    assert dialog.told.text().startswith("2 times came in.")
    assert "Line 3: " in dialog.told.text()
    dialog.table.setFocus()
    dialog.table.selectRow(0)
    coach.qtbot.keyClick(dialog.table, Qt.Key.Key_Delete)
    assert dialog.table.rowCount() == 1
    assert cell(dialog, 0, 1) == "2026-03-20"
