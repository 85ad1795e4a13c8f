"""The bands of the run at hand: typed, taken back, imported; the reading follows at once."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from analysis.values.bands import BandOrigin
from analysis.values.conditions import AgeGroup
from app import asking
from app.marking.athlete import change_athlete
from app.run.bands_dialog import BandsDialog
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def judge(coach):
    """A coach at the bands of the first demo run."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.press("Ctrl+B")
    dialog = coach.window.findChild(BandsDialog)
    coach.qtbot.waitUntil(dialog.isVisible)
    yield coach, dialog
    dialog.close()


def row_of(dialog, name):
    return next(n for n in range(dialog.table.rowCount()) if dialog.table.item(n, 0).text() == name)


def lead(coach):
    return next(one for one in coach.bench.reading.questions[0].measures if one.measure == "trunk_lead_deg")


def type_end(coach, dialog, row, column, text):
    dialog.table.setFocus()
    dialog.table.setCurrentCell(row, column)
    coach.qtbot.keyClick(dialog.table, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    coach.qtbot.keyClicks(editor, text)
    coach.qtbot.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()


def test_another_end_is_the_coachs_own_and_the_reading_follows(judge):
    coach, dialog = judge
    row = row_of(dialog, "trunk lead")
    assert "common practice, no source" in dialog.table.item(row, 5).text()
    assert lead(coach).verdict == "outside"
    type_end(coach, dialog, row, 3, "40")
    coach.qtbot.waitUntil(lambda: lead(coach).band.high == 40.0)
    assert lead(coach).verdict == "inside"
    assert lead(coach).source.startswith("the coach")
    type_end(coach, dialog, row, 3, "50")
    coach.qtbot.waitUntil(lambda: lead(coach).band.high == 50.0)
    versions = [t.version for t in coach.bench.project.band_tables.values() if t.origin is BandOrigin.COACH]
    assert sorted(versions) == [1, 2]
    dialog.table.setCurrentCell(row_of(dialog, "trunk lead"), 0)
    coach.qtbot.keyClick(dialog.table, Qt.Key.Key_Delete)
    assert lead(coach).band.high == 8.0
    assert_accessible(dialog)


def shown(dialog):
    """The versions as they stand there: number, what it changed."""
    table = dialog.versions.table
    return [(table.item(row, 1).text(), table.item(row, 3).text()) for row in range(table.rowCount())]


def test_versions_are_listed_with_what_they_changed_and_one_is_taken_back(judge):
    coach, dialog = judge
    assert shown(dialog) == []
    assert "No bands of your own yet" in dialog.versions.words.text()
    for text in ("40", "50"):
        type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, text)
        coach.qtbot.waitUntil(lambda text=text: lead(coach).band.high == float(text))
    assert shown(dialog) == [
        ("2 (counts)", "trunk lead, start push: \N{MINUS SIGN}5 to 40° becomes \N{MINUS SIGN}5 to 50°"),
        ("1", "trunk lead, start push: \N{MINUS SIGN}5 to 40°"),
    ]
    assert all(dialog.versions.table.item(row, 2).text()[:2] == "20" for row in range(2))  # a year
    dialog.pages.tabBar().setFocus()
    coach.press("Right", on=dialog.pages.tabBar())
    assert dialog.pages.currentWidget() is dialog.versions
    assert_accessible(dialog)
    table = dialog.versions.table
    table.setFocus()
    table.setCurrentCell(0, 0)
    assert not dialog.versions.back.isEnabled()  # it counts already
    coach.press("Down", on=table)
    assert dialog.versions.back.isEnabled()
    coach.qtbot.mouseClick(dialog.versions.back, Qt.MouseButton.LeftButton)
    assert lead(coach).band.high == 40.0
    assert [number for number, _ in shown(dialog)] == ["3 (counts)", "2", "1"]
    coach.bench.undo()
    assert lead(coach).band.high == 50.0


def test_ends_the_wrong_way_round_are_said(judge):
    coach, dialog = judge
    type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, "-30")
    coach.qtbot.waitUntil(lambda: "from less to more" in coach.notice)
    assert lead(coach).band.high == 8.0


def test_a_table_is_imported_and_a_bad_one_named_with_its_line(judge, tmp_path, monkeypatch):
    coach, dialog = judge
    table = tmp_path / "club.csv"
    monkeypatch.setattr(asking, "table_to_open", lambda _: table)
    table.write_text("measure,moment,first_step,last_step,low,high\ntrunk_lead_deg,push,0,0,-20,60\n")
    coach.qtbot.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert (lead(coach).band.low, lead(coach).band.high) == (-20.0, 60.0)
    table.write_text("measure,moment,first_step,last_step,low,high\ntrunk_lead_deg,push,0,0,much,60\n")
    coach.qtbot.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert "Line 2, low" in coach.notice
    assert lead(coach).band.high == 60.0


def test_a_pattern_of_too_few_good_runs_is_said(judge):
    coach, dialog = judge
    coach.qtbot.mouseClick(dialog.pattern, Qt.MouseButton.LeftButton)
    assert "at least 5 good runs" in coach.notice


def test_the_bands_are_saved_as_a_table_that_judges_the_same_elsewhere(judge, tmp_path, monkeypatch):
    coach, dialog = judge
    type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, "40")
    coach.qtbot.waitUntil(lambda: lead(coach).band.high == 40.0)
    before = [[dialog.table.item(row, n).text() for n in range(5)] for row in range(dialog.table.rowCount())]
    path = tmp_path / "bands.csv"
    monkeypatch.setattr(asking, "table_to_save", lambda *_: path)
    monkeypatch.setattr(asking, "table_to_open", lambda _: path)
    coach.qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    assert str(path) in coach.notice
    dialog.table.setCurrentCell(row_of(dialog, "trunk lead"), 0)
    coach.qtbot.keyClick(dialog.table, Qt.Key.Key_Delete)
    assert lead(coach).band.high == 8.0
    coach.qtbot.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert lead(coach).band.high == 40.0
    after = [[dialog.table.item(row, n).text() for n in range(5)] for row in range(dialog.table.rowCount())]
    assert after == before


def test_saving_and_importing_changes_nothing(judge, tmp_path, monkeypatch):
    """A band for adults stays one for adults, and the starting bands stay the starting bands."""
    coach, dialog = judge
    dialog.group.setCurrentText("adult")
    type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, "40")
    coach.qtbot.waitUntil(lambda: lead(coach).band.high == 40.0)
    before = coach.bench.project.band_tables
    path = tmp_path / "bands.csv"
    monkeypatch.setattr(asking, "table_to_save", lambda *_: path)
    monkeypatch.setattr(asking, "table_to_open", lambda _: path)
    coach.qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    coach.qtbot.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert "Every band of bands.csv is here already" in coach.notice
    assert coach.bench.project.band_tables == before


def test_a_folder_that_is_not_there_is_said(judge, tmp_path, monkeypatch):
    coach, dialog = judge
    monkeypatch.setattr(asking, "table_to_save", lambda *_: tmp_path / "missing" / "bands.csv")
    coach.qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    assert "could not be written" in coach.notice


def test_a_band_for_a_group_counts_for_it_alone(judge, tmp_path, monkeypatch):
    coach, dialog = judge
    groups = [dialog.group.itemText(n) for n in range(dialog.group.count())]
    assert groups[0] == "everyone"
    assert "adult" in groups
    dialog.group.setCurrentText("adult")
    type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, "40")
    coach.qtbot.waitUntil(lambda: lead(coach).band.high == 40.0)
    dialog.group.setCurrentText("everyone")
    type_end(coach, dialog, row_of(dialog, "trunk lead"), 3, "30")
    assert lead(coach).band.high == 40.0  # the narrower group counts first
    bench = coach.bench
    bench.attempt(lambda: change_athlete(bench.project, bench.run, age=AgeGroup.YOUTH))
    assert lead(coach).band.high == 30.0  # no adult any more


def test_who_has_no_band_can_be_given_one(judge):
    """The starting bands are for adults; a youth's table was empty, with nothing to type in."""
    coach, dialog = judge
    bench = coach.bench
    bench.attempt(lambda: change_athlete(bench.project, bench.run, age=AgeGroup.YOUTH))
    assert lead(coach).band is None
    row = row_of(dialog, "trunk lead")
    assert dialog.table.item(row, 5).text() == "no band"
    assert not dialog.save.isEnabled()
    dialog.group.setCurrentText("youth")
    type_end(coach, dialog, row, 3, "12")
    coach.qtbot.waitUntil(lambda: lead(coach).band is not None)
    assert (lead(coach).band.high, lead(coach).band.low) == (12.0, None)
    assert dialog.save.isEnabled()
