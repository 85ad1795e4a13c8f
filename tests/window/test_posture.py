"""Posture beside the film: the table, and the way from a number to the frames that it rests on."""

import math

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolButton


@pytest.fixture
def demo(coach, window):
    """A coach in front of the demo project, whose first run has a followed body."""
    assert window.open_demo()
    coach.wait_for_picture()
    return coach


def cell(table, header, step):
    """The index of a measure by its header and of a step, 0 for the start."""
    model = table.model()
    headers = [model.headerData(n, Qt.Orientation.Vertical) for n in range(model.rowCount())]
    return model.index(headers.index(header), step)


def test_a_click_on_a_number_shows_the_frame_that_it_rests_on(demo, qtbot):
    workspace = demo.workspace
    workspace.panels.show_panel(workspace.posture)
    table = workspace.posture.table
    index = cell(table, "Touchdown distance, m", 1)
    table.scrollTo(index)
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center())
    demo.wait_for(demo.bench.run.footfalls[0].touchdown)


def test_table_and_strip_stand_in_one_tab(demo, qtbot):
    workspace = demo.workspace
    workspace.panels.show_panel(workspace.posture)
    assert workspace.posture.isVisible()
    buttons = {b.text(): b for b in workspace.panels.under.findChildren(QToolButton)}
    qtbot.mouseClick(buttons["Strip"], Qt.MouseButton.LeftButton)
    assert workspace.strip.isVisible()
    assert not workspace.posture.isVisible()
    workspace.panels.show_panel(workspace.posture)
    assert workspace.posture.isVisible()
    assert buttons["Table"].isChecked()


def strokes(demo):
    """What of posture lies over the picture, by its lines' names."""
    return {s.id: s for s in demo.view._scene.strokes if s.id.startswith("posture:")}


def test_keys_choose_what_of_posture_lies_over_the_picture(demo):
    touchdown = demo.bench.run.footfalls[1].touchdown
    demo.workspace.pane.go_to(touchdown)
    demo.wait_for(touchdown)
    assert "posture:hip-shoulder" in strokes(demo)  # the first opening shows posture at once
    assert demo.view._scene.trails
    demo.press("1")
    assert "posture:hip-shoulder" not in strokes(demo)
    demo.press("4")
    assert {"posture:left_knee-left_hip", "posture:right_knee-right_hip"} <= set(strokes(demo))
    demo.press("5")
    assert not demo.view._scene.trails
    assert demo.window._settings["posture_layers"].split() == ["shins", "thighs"]


def test_an_angle_beside_a_line_is_the_one_of_the_reading(demo):
    touchdown = demo.bench.run.footfalls[1].touchdown
    demo.workspace.pane.go_to(touchdown)
    demo.wait_for(touchdown)
    trunk = next(s for s in demo.bench.reading.series if s.measure == "trunk_deg")
    value = trunk.value[list(trunk.frames).index(touchdown)]
    assert strokes(demo)["posture:hip-shoulder"].label == f"{value:.0f}°"


def test_posture_on_chosen_frames_alone(demo):
    first = demo.bench.run.footfalls[1].touchdown
    demo.workspace.pane.go_to(first)
    demo.wait_for(first)
    demo.press("8")  # on this frame, and so no more on every one
    assert strokes(demo)
    demo.press("Right")
    demo.wait_for(first + 1)
    assert not strokes(demo)
    demo.press("8")
    assert strokes(demo)
    demo.press("8")
    assert not strokes(demo)
    demo.press("7")
    assert strokes(demo)


def test_a_number_of_the_table_shows_its_lines_though_no_layer_is_on(demo, qtbot):
    for key in "135":
        demo.press(key)
    workspace = demo.workspace
    workspace.panels.show_panel(workspace.posture)
    table = workspace.posture.table
    table.setFocus()
    table.setCurrentIndex(cell(table, "Knee, stance, touchdown, °", 2))
    qtbot.keyClick(table, Qt.Key.Key_Return)
    demo.wait_for(demo.bench.run.footfalls[1].touchdown)
    assert set(strokes(demo)) == {"posture:right_ankle-right_knee", "posture:right_knee-right_hip"}


def test_a_click_on_a_curve_moves_the_film_and_the_playhead(demo, qtbot):
    workspace, chart = demo.workspace, demo.workspace.curves
    workspace.panels.show_panel(chart)
    qtbot.waitUntil(chart._plot.isVisible)
    place = chart._pixel(0.80, chart._plot.viewRange()[1][1] * 0.97).toPoint()
    qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)
    demo.wait_for_picture()
    zero = demo.bench.film.facts.times.at(demo.bench.run.start.first_movement)
    at = demo.bench.film.facts.times.at(demo.bench.frame) - zero
    assert at == pytest.approx(0.80, abs=0.02)
    assert chart.playhead_at() == pytest.approx(at)


def place_of(demo, name):
    """Where a body point is on the frame on show."""
    return next((p.u, p.v) for p in demo.bench.run.points if (p.frame, p.name) == (demo.bench.frame, name))


def test_two_clicks_draw_a_line_between_any_two_points_on_every_frame(demo):
    """Against the definition: anticlockwise from the forward horizontal; the lane of this clip is level and
    the camera square to it, so that pixels serve.
    """
    touchdown = demo.bench.run.footfalls[1].touchdown
    demo.workspace.pane.go_to(touchdown)
    demo.wait_for(touchdown)
    ends = place_of(demo, "right_ankle"), place_of(demo, "neck")
    demo.zoom_to(*ends[0], 3.0)
    demo.press("Shift+V")
    demo.click(*ends[1])
    demo.click(*ends[0])
    line = strokes(demo)["posture:right_ankle-neck"]
    (u0, v0), (u1, v1) = ends
    assert float(line.label.rstrip("°")) == pytest.approx(math.degrees(math.atan2(v0 - v1, u1 - u0)), abs=4)
    demo.press("Right")
    demo.wait_for(touchdown + 1)
    assert "posture:right_ankle-neck" in strokes(demo)
    demo.press("Left")
    demo.wait_for(touchdown)
    demo.click(*ends[0])
    demo.click(*ends[1])
    assert "posture:right_ankle-neck" not in strokes(demo)


def test_a_click_beside_every_point_says_what_to_click(demo):
    demo.press("Shift+V")
    demo.click(600.0, 100.0)
    assert "Click one of the rings" in demo.notice


def test_side_by_side_both_films_show_their_bodies_and_lines(demo, qtbot):
    demo.press("Ctrl+2")
    compare = demo.window.compare_workspace
    sides = (compare.upper_side, compare.lower_side)
    qtbot.waitUntil(
        lambda: all(s.pane.shown >= 0 and s.pane.shown == s.pane.wanted for s in sides),
    )
    for side in sides:
        assert any(s.id == "posture:hip-shoulder" for s in side.pane.view._scene.strokes)
        assert side.pane.view._scene.trails
    demo.press("1", on=sides[0].pane.view)
    for side in sides:
        assert not any(s.id == "posture:hip-shoulder" for s in side.pane.view._scene.strokes)
