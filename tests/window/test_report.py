"""The report of the run at hand: a key, a place to save, two pages."""

import pytest
from PySide6.QtCore import Qt

from analysis.values.estimate import Estimate
from app import asking
from app.marking.placing import place_point
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def saved_as(tmp_path, monkeypatch):
    """Where the coach saves what is asked for."""
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (str(tmp_path / "rep 1"), "")
    )
    return tmp_path / "rep 1.html"


def asked(marked):
    """The dialog that the key brings, on show."""
    marked.press("Ctrl+Shift+E")
    dialog = marked.window.report.dialog
    assert dialog.isVisible()
    assert_accessible(dialog)
    return dialog


def write(marked):
    """Ask for the report with all as it is offered."""
    marked.qtbot.mouseClick(asked(marked).write, Qt.MouseButton.LeftButton)


def test_a_key_writes_both_pages_with_the_strip(qtbot, marked, saved_as):
    bench = marked.bench
    for frame in (20, 230):
        bench.edit(place_point(bench.run, frame, "right_hip", 40.0 + frame, 100.0))
    write(marked)
    reporting = marked.window.writing
    assert reporting.isVisible()
    assert_accessible(reporting)
    qtbot.waitUntil(lambda: "rep 1.html" in marked.notice)
    assert not reporting.isVisible()
    pages = sorted(path.name for path in saved_as.parent.glob("*rep 1*"))
    assert pages == ["rep 1-athlete.html", "rep 1-athlete.pdf", "rep 1.html", "rep 1.pdf"]
    text = saved_as.read_text(encoding="utf-8")
    assert text.count("data:image/jpeg;base64,") == 9  # the events tagged on the small film
    contact = bench.reading.steps[0].contact_s
    assert isinstance(contact, Estimate)
    assert f'value="{contact.value}" data-key="contact_s:1"' in text


def test_the_whole_project_goes_into_a_folder(qtbot, marked, tmp_path, monkeypatch):
    folder = tmp_path / "reports"
    folder.mkdir()
    monkeypatch.setattr(asking.QFileDialog, "getExistingDirectory", lambda *args, **kw: str(folder))
    marked.window.actions_table["report_project"].trigger()
    qtbot.mouseClick(marked.window.report.whole_dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "files are in" in marked.notice)
    assert {"first-coach.html", "first-athlete.pdf", "tables.xlsx"} <= {
        path.name for path in folder.iterdir()
    }


def test_a_report_is_given_up(qtbot, marked, saved_as):
    write(marked)
    marked.press("Ctrl+Shift+E")
    assert "still being written" in marked.notice
    qtbot.mouseClick(marked.window.writing.cancel, Qt.MouseButton.LeftButton)
    assert "given up" in marked.notice
    assert not marked.window.writing.busy


def test_a_public_page_asks_for_the_consent_before_it_asks_for_a_name(marked, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *a, **kw: pytest.fail("asked for a name")
    )
    dialog = asked(marked)
    assert not dialog.choice.named.isVisible()
    dialog.choice.public.setChecked(True)
    marked.qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    assert "who ran" in marked.notice
    assert not marked.window.writing.busy


def test_where_there_is_no_run_it_is_said(window, coach):
    coach.press("Ctrl+Shift+E")
    assert "Open a film" in window.notice.text.text()
    window.actions_table["report_project"].trigger()
    assert "Open a project" in window.notice.text.text()


def test_a_place_that_can_not_be_written_is_said(qtbot, marked, tmp_path, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (str(tmp_path / "no" / "rep.html"), "")
    )
    write(marked)
    qtbot.waitUntil(lambda: "Choose another folder" in marked.notice)
