"""The film under keys, wheel, strip, rail, table and chart."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt

from app.film.mapping import LARGEST
from app.marking.events import EventRef


def test_one_frame_and_ten(marked):
    coach = marked
    for keys, frame in (("Right", 21), ("Left", 20), ("Shift+Right", 30), ("Shift+Left", 20)):
        coach.press(keys)
        coach.wait_for(frame)


def test_the_ends_of_the_film_hold(marked):
    coach = marked
    coach.press("Shift+Left", 5)
    coach.wait_for(0)
    coach.press("Left")
    assert coach.pane.wanted == 0
    coach.press("Shift+Right", 31)
    coach.wait_for(299)
    coach.press("Right")
    assert coach.pane.wanted == 299


def test_from_event_to_event_and_to_first_movement(marked):
    coach = marked
    for frame, ref in (
        (50, EventRef("", "rear_toe_off")),
        (80, EventRef("", "front_toe_off")),
        (90, EventRef("a", "touchdown")),
        (130, EventRef("a", "toe_off")),
    ):
        coach.press(".")
        coach.wait_for(frame)
        assert coach.bench.selected == ref
    coach.press(",")
    coach.wait_for(90)
    coach.press("Home")
    coach.wait_for(20)
    coach.press(",")
    assert "No event before" in coach.notice
    coach.press("Shift+Right", 28)
    coach.wait_for(299)
    coach.press(".")
    assert "No event further" in coach.notice


def test_an_event_moves_by_a_frame_and_the_film_with_it(marked):
    coach = marked
    coach.press(".", 3)
    coach.wait_for(90)
    coach.press("Ctrl+Right", 2)
    coach.wait_for(92)
    assert coach.bench.run.footfalls[0].touchdown == 92
    assert coach.bench.stack.count() == 2
    coach.press("Ctrl+Left")
    coach.wait_for(91)
    coach.press("Ctrl+Z", 3)
    coach.wait_for(90)
    assert coach.bench.run.footfalls[0].touchdown == 90


def test_the_other_foot_and_the_doubt(marked):
    coach = marked
    foot = coach.workspace.transport.next_foot
    assert foot.text() == "Next: right foot"  # before a left one comes a right one
    coach.press("S")
    assert foot.text() == "Next: left foot"
    coach.press(".", 3)
    coach.wait_for(90)
    coach.window.actions_table["unsure"].trigger()
    assert coach.bench.run.footfalls[0].unsure_frames == 1
    coach.window.actions_table["sure"].trigger()
    assert coach.bench.run.footfalls[0].unsure_frames == 0
    coach.window.actions_table["usual_doubt"].trigger()
    assert coach.bench.run.footfalls[0].unsure_frames is None


def test_the_strip_scrubs_by_mouse_wheel_and_keys(marked, qtbot):
    coach, strip = marked, marked.pane.strip
    middle = strip.height() // 2
    at = QPoint(round(strip.x_of(150)), middle)
    qtbot.mousePress(strip, Qt.MouseButton.LeftButton, pos=at)
    assert abs(coach.pane.wanted - 150) <= 1
    qtbot.mouseMove(strip, QPoint(round(strip.x_of(200)), middle))
    qtbot.mouseRelease(strip, Qt.MouseButton.LeftButton, pos=QPoint(round(strip.x_of(200)), middle))
    coach.wait_for_picture()
    here = coach.pane.wanted
    coach.wheel(strip, QPointF(at), -1)
    assert coach.pane.wanted == here + 1
    coach.wheel(strip, QPointF(at), 1, Qt.KeyboardModifier.ShiftModifier)
    assert coach.pane.wanted == here - 9
    for key, step in ((Qt.Key.Key_PageDown, 10), (Qt.Key.Key_PageUp, -10), (Qt.Key.Key_Down, 1)):
        before = coach.pane.wanted
        qtbot.keyClick(strip, key)
        assert coach.pane.wanted == before + step
    qtbot.keyClick(strip, Qt.Key.Key_End)
    coach.wait_for(299)


def test_quick_turns_of_the_wheel_all_count(marked):
    """They count from the frame that is wanted, not from the one whose picture has come."""
    coach, strip = marked, marked.pane.strip
    for _ in range(12):
        coach.wheel(strip, QPointF(50, 10), -1)
    coach.wait_for(32)


def test_a_click_on_rail_table_and_chart_moves_the_film(marked, qtbot):
    coach, workspace = marked, marked.workspace
    rail = workspace.rail
    block = rail._content.block("b")
    x = rail._columns.track_x(block.track) + 5
    qtbot.mouseClick(
        rail, Qt.MouseButton.LeftButton, pos=QPoint(round(x), round(rail.scale.y(block.top_s)) + 14)
    )
    coach.wait_for_picture()
    assert 145 <= coach.pane.shown <= 180
    table = workspace.steps
    index = table.model().index(2, 2)
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center())
    coach.wait_for(196)
    workspace.panels.show_panel(workspace.rhythm)
    qtbot.waitUntil(workspace.rhythm.isVisible)
    chart = workspace.rhythm
    point = chart.place_of(1, "contact").toPoint()
    qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=point)
    coach.wait_for(90)


@pytest.mark.parametrize("place", [(20.0, 150.0), (200.0, 90.0)])
def test_the_wheel_zooms_and_the_place_under_the_pointer_stays(marked, place):
    coach, view = marked, marked.view
    at = QPointF(*view.mapping.to_widget(*place))
    for notches in (3, 8, -4, 30):
        coach.wheel(view, at, notches)
        assert view.mapping.to_picture(at.x(), at.y()) == pytest.approx(place, abs=1e-6)
    assert view.mapping.scale == LARGEST
    coach.press("0")
    left, top = view.mapping.to_widget(-0.5, -0.5)
    right, bottom = view.mapping.to_widget(319.5, 179.5)
    assert min(left, top) >= -1e-6
    assert right <= view.width() + 1e-6
    assert bottom <= view.height() + 1e-6


def test_keys_zoom_around_the_pointer(marked):
    coach, view = marked, marked.view
    coach.move_to(200, 90, down=False)
    before = view.mapping
    at = before.to_widget(200, 90)
    coach.press("Ctrl+=")
    assert view.mapping.scale == pytest.approx(before.scale * 1.5)
    assert view.mapping.to_picture(*at) == pytest.approx((200, 90), abs=1e-6)
    coach.press("Ctrl+-")
    assert view.mapping.scale == pytest.approx(before.scale)


def test_numbers_stand_over_the_picture_when_their_event_has_passed(marked):
    coach = marked
    assert coach.view._scene.numbers == ()
    coach.press("Shift+Right", 14)
    coach.wait_for(160)
    assert [n.split("  ")[0] for n in coach.view._scene.numbers] == ["1 L", "1 L"]
    coach.press("N")
    assert coach.view._scene.numbers == ()
