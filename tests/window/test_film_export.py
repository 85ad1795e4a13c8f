"""The annotated film out of the window: asked for, written beside, given up."""

import av
import pytest
from PySide6.QtCore import Qt

from app import asking
from tests.helpers.accessible import assert_accessible
from tests.window.coach import WAIT_MS


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Where the coach chooses to write, under the name "run"."""
    place = tmp_path / "out"
    place.mkdir()
    monkeypatch.setattr(asking.QFileDialog, "getSaveFileName", lambda *a, **kw: (str(place / "run"), ""))
    return place


def ask(qtbot, marked, speed, hold_s=0.0):
    marked.window.actions_table["export_film"].trigger()
    dialog = marked.workspace.film_export.dialog
    qtbot.waitUntil(dialog.isVisible, timeout=WAIT_MS)
    assert_accessible(dialog)
    dialog.speed.setCurrentIndex(dialog.speed.findData(speed))
    dialog.hold.setValue(hold_s)
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)


def test_the_film_is_written_beside_with_the_chosen_pace(qtbot, marked, folder):
    ask(qtbot, marked, 1.0, 0.1)
    row = marked.workspace.writing
    assert row.isVisible()
    qtbot.waitUntil(lambda: not row.busy, timeout=2 * WAIT_MS)  # a whole film
    assert [path.name for path in folder.iterdir()] == ["run.mp4"]
    assert "run.mp4" in marked.notice
    with av.open(str(folder / "run.mp4")) as container:
        # 300 frames at 240 a second, every fourth at 60; three touchdowns held for a tenth of a second
        assert len(list(container.decode(video=0))) == 300 / 4 + 3 * 6
    assert not row.isVisible()


def test_given_up_nothing_is_left(qtbot, marked, folder):
    ask(qtbot, marked, 0.1, 10.0)
    row = marked.workspace.writing
    qtbot.waitUntil(lambda: any(folder.iterdir()), timeout=WAIT_MS)
    marked.window.actions_table["export_film"].trigger()
    assert "still being written" in marked.notice
    qtbot.mouseClick(row.cancel, Qt.MouseButton.LeftButton)
    assert not row.busy
    assert "nothing of it is left" in marked.notice
    assert list(folder.iterdir()) == []


def test_without_a_film_it_is_said(window):
    window.actions_table["export_film"].trigger()
    assert "Open a film" in window.notice.text.text()
