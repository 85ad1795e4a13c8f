"""The posture strip under the film: made when looked at, a click goes to the frame, out as a picture."""

import io

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from analysis.values.command import Kind
from analysis.values.run import Side
from app import asking
from app.marking.placing import delete_part, place_point
from tests.helpers.accessible import assert_accessible, name_of

EVENTS = [20, 50, 80, 90, 130, 145, 180, 196, 230]
"""The tagged frames of the small film's run."""


@pytest.fixture
def panel(marked):
    """The strip of a run in which the hips are placed at the first and the last event."""
    bench = marked.bench
    for frame in (EVENTS[0], EVENTS[-1]):
        bench.edit(place_point(bench.run, frame, "right_hip", 40.0 + frame, 100.0))
    marked.workspace.panels.show_panel(marked.workspace.strip)
    return marked.workspace.strip


def drawn(panel) -> bool:
    return bool(panel.tiles) and all(tile.picture is not None for tile in panel.tiles)


def wait_until_drawn(qtbot, panel) -> None:
    qtbot.waitUntil(lambda: drawn(panel) and not panel.working)


def test_a_click_goes_to_the_frame_and_the_frame_on_show_is_marked(qtbot, marked, panel):
    wait_until_drawn(qtbot, panel)
    assert [tile.frame for tile in panel.tiles] == EVENTS
    qtbot.mouseClick(panel.tiles[3], Qt.MouseButton.LeftButton)
    marked.wait_for(90)
    assert [tile.here for tile in panel.tiles] == [frame == 90 for frame in EVENTS]
    assert not panel.tiles[3].hasFocus()  # Space plays the film after a click, too
    panel.tiles[5].setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(panel.tiles[5].hasFocus)
    qtbot.keyClick(panel.tiles[5], Qt.Key.Key_Space)
    marked.wait_for(145)
    assert not marked.pane.ticker.clock.playing  # the key was the button's
    marked.press("Space")
    assert marked.pane.ticker.clock.playing
    marked.press("Space")
    assert "touchdown" in name_of(panel.tiles[3])


def test_an_edit_is_seen_at_once_and_pictures_are_not_taken_twice(qtbot, marked, panel, monkeypatch):
    wait_until_drawn(qtbot, panel)
    started = []
    monkeypatch.setattr("app.run.strip_pictures.PicturesJob", lambda *a, **k: started.append(a))
    marked.go_to(90)
    marked.press("S")
    side = next(f for f in marked.bench.run.footfalls if f.touchdown == 90).side
    letter = "L" if side is Side.LEFT else "R"
    qtbot.waitUntil(lambda: f"1 {letter} touchdown" in name_of(panel.tiles[3]))
    marked.press("Ctrl+Z")
    wait_until_drawn(qtbot, panel)
    assert not started


def test_nothing_is_made_while_it_is_out_of_sight(qtbot, marked):
    strip = marked.workspace.strip
    marked.go_to(90)
    marked.press("S")
    assert not strip.tiles
    assert not strip.working


def test_without_points_it_says_what_to_do(qtbot, marked):
    strip = marked.workspace.strip
    bench = marked.bench
    for kind, parts in ((Kind.POINT, bench.run.points), (Kind.LINE, bench.run.lines)):
        for part in parts:
            bench.edit(delete_part(bench.run, kind, part.id))
    marked.workspace.panels.show_panel(strip)
    qtbot.waitUntil(lambda: "Place hips" in strip.words.text())
    assert not strip.tiles
    assert not strip.button.isEnabled()


def test_an_empty_window_says_what_to_do(qtbot, window):
    strip = window.run_workspace.strip
    window.run_workspace.panels.show_panel(strip)
    qtbot.waitUntil(lambda: "Open a film" in strip.words.text())


def test_the_strip_goes_out_as_one_picture(qtbot, marked, panel, tmp_path, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (str(tmp_path / "strip"), "")
    )
    marked.window.actions_table["export_strip"].trigger()
    assert_accessible(panel.export.dialog)
    qtbot.mouseClick(panel.export.dialog.write, Qt.MouseButton.LeftButton)
    assert marked.window.writing.isVisible()
    path = tmp_path / "strip.png"
    qtbot.waitUntil(lambda: "strip.png" in marked.notice)
    picture = Image.open(io.BytesIO(path.read_bytes()))
    assert picture.width > 4 * picture.height
    assert [p.name for p in tmp_path.glob("*strip*")] == ["strip.png"]


def test_a_public_strip_asks_for_the_consent_before_it_asks_for_a_name(qtbot, marked, panel, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *a, **kw: pytest.fail("asked for a name")
    )
    marked.window.actions_table["export_strip"].trigger()
    panel.export.dialog.choice.public.setChecked(True)
    qtbot.mouseClick(panel.export.dialog.write, Qt.MouseButton.LeftButton)
    assert "who ran" in marked.notice


def test_where_there_is_nothing_to_export_it_is_said(window):
    window.actions_table["export_strip"].trigger()
    assert "Open a film" in window.notice.text.text()


def test_a_film_that_went_away_is_said(qtbot, marked, panel, small):
    qtbot.waitUntil(lambda: bool(panel.tiles) and not panel.working)
    panel.pictures.forget()
    small.rename(small.with_suffix(".elsewhere"))
    panel.show_reading()
    qtbot.waitUntil(lambda: "film" in panel.words.text() and not panel.working)
