"""Clicking moves the film; edges are dragged while the film shows their frame."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from analysis.values.run import Side
from app.rail.edges import Edge, edge_at
from app.theme.tokens import TARGET_PX
from tests.app.rail.hand import Heard, click, edge_y, move, press, release, track_x, wheel, y_of
from tests.app.rail.invented import a_film, a_reading


@pytest.mark.parametrize("frame", [3, 41, 46, 61, 100])
@pytest.mark.parametrize("across", ["track", "margin", "gutter"])
def test_a_click_asks_for_the_frame_at_that_height(qtbot, rail, frame, across):
    heard = Heard(rail)
    x = {"track": track_x(rail), "margin": rail.width() - 8, "gutter": rail._columns.flight_x + 20}[across]
    click(qtbot, rail, x, y_of(rail, frame))
    assert heard.frames == [frame]
    assert rail.value() == frame


def test_a_click_on_the_frame_that_is_shown_asks_all_the_same(qtbot, rail):
    rail.set_frame(50)
    heard = Heard(rail)
    click(qtbot, rail, track_x(rail), y_of(rail, 50))
    assert heard.frames == [50]


def test_the_film_s_own_word_asks_for_nothing(rail):
    heard = Heard(rail)
    for frame in (0, 5, 5, 90, 10_000, 3):
        rail.set_frame(frame)
    assert heard.said == []
    assert rail.value() == 3


def test_drawing_along_the_rail_scrubs(qtbot, rail):
    heard = Heard(rail)
    x = rail._columns.flight_x + 20
    press(qtbot, rail, x, y_of(rail, 10))
    for frame in (11, 12, 13, 20):
        move(rail, x, y_of(rail, frame))
    release(qtbot, rail, x, y_of(rail, 20))
    assert heard.frames == [10, 11, 12, 13, 20]
    assert not heard.of("started")


def test_a_click_takes_hold_of_the_nearer_edge(qtbot, rail):
    heard = Heard(rail)
    click(qtbot, rail, track_x(rail), edge_y(rail, 40) + 3)
    assert rail.selected_edge.which == "touchdown"
    click(qtbot, rail, track_x(rail), edge_y(rail, 52) - 3)
    assert rail.selected_edge.which == "toe_off"
    assert heard.of("selected") == [("f0",), ("f0",)]
    assert not heard.of("dragged")


def test_an_edge_is_dragged_frame_by_frame_and_dropped_once(qtbot, rail):
    heard = Heard(rail)
    x = track_x(rail)
    press(qtbot, rail, x, edge_y(rail, 52))
    for frame in range(53, 58):
        move(rail, x, edge_y(rail, frame))
        assert rail.value() == frame, "the film shows the frame under the edge"
    release(qtbot, rail, x, edge_y(rail, 57))
    assert heard.of("started") == [("f0", "toe_off")]
    assert heard.of("dragged") == [("f0", "toe_off", frame) for frame in range(53, 58)]
    assert heard.of("dropped") == [("f0", "toe_off", 57)]
    assert heard.said[-1][0] == "dropped"


def test_the_block_follows_the_hand_and_falls_back_if_the_drop_is_not_taken(qtbot, rail):
    x = track_x(rail, Side.RIGHT)
    before = rail._content.block("f1").top_s
    press(qtbot, rail, x, edge_y(rail, 60))
    move(rail, x, edge_y(rail, 56))
    assert rail._content.block("f1").top_s == pytest.approx(before - 0.04)
    release(qtbot, rail, x, edge_y(rail, 56))
    assert rail._content.block("f1").top_s == before


def test_a_reading_that_comes_during_a_drag_does_not_end_it(qtbot, rail, run):
    heard = Heard(rail)
    x = track_x(rail)
    press(qtbot, rail, x, edge_y(rail, 52))
    move(rail, x, edge_y(rail, 54))
    rail.show_run(replace(run, notes="new"), a_film(run), a_reading(run))
    move(rail, x, edge_y(rail, 55))
    release(qtbot, rail, x, edge_y(rail, 55))
    assert heard.of("dropped") == [("f0", "toe_off", 55)]


def test_escape_calls_a_drag_off(qtbot, rail):
    rail.set_frame(20)
    heard = Heard(rail)
    x = track_x(rail)
    press(qtbot, rail, x, edge_y(rail, 40))
    move(rail, x, edge_y(rail, 35))
    qtbot.keyClick(rail, Qt.Key.Key_Escape)
    move(rail, x, edge_y(rail, 30))
    release(qtbot, rail, x, edge_y(rail, 30))
    assert heard.of("cancelled") == [("f0", "touchdown")]
    assert not heard.of("dropped")
    assert heard.frames[-1] == 20, "the film goes back to where it was"


def test_hiding_the_rail_calls_a_drag_off(qtbot, rail):
    heard = Heard(rail)
    press(qtbot, rail, track_x(rail), edge_y(rail, 40))
    move(rail, track_x(rail), edge_y(rail, 35))
    rail.hide()
    assert heard.of("cancelled") == [("f0", "touchdown")]


def test_an_edge_stops_at_the_other_events_of_its_foot(qtbot, rail):
    heard = Heard(rail)
    x = track_x(rail)
    press(qtbot, rail, x, edge_y(rail, 52))
    move(rail, x, edge_y(rail, 130))
    assert heard.of("dragged")[-1] == ("f0", "toe_off", 79), "the same foot lands again on frame 80"
    move(rail, x, edge_y(rail, 5))
    assert heard.of("dragged")[-1] == ("f0", "toe_off", 41), "its own touchdown is on frame 40"
    release(qtbot, rail, x, edge_y(rail, 5))


@pytest.mark.parametrize("height", [640, 260])
def test_an_edge_s_target_is_24_px_tall(qtbot, rail, height):
    rail.resize(rail.width(), height)
    x = track_x(rail)
    for which, frame in (("touchdown", 40), ("toe_off", 52)):
        middle = edge_y(rail, frame)
        hits = [
            y / 4
            for y in range(round(4 * middle) - 160, round(4 * middle) + 160)
            if edge_at(rail._content, rail.scale, rail._columns, x, y / 4) == Edge("f0", which)
        ]
        assert max(hits) - min(hits) >= TARGET_PX - 0.5


def test_the_toe_offs_of_the_start_push_are_dragged_too(qtbot, rail, run):
    heard = Heard(rail)
    side = run.start.front_side
    x = rail._columns.track_x(side) + 5
    front = run.start.front_toe_off
    press(qtbot, rail, x, edge_y(rail, front) - 4)
    move(rail, x, edge_y(rail, front - 2) - 4)
    release(qtbot, rail, x, edge_y(rail, front - 2) - 4)
    assert heard.of("dropped") == [("", "front_toe_off", front - 2)]


def test_a_right_click_does_nothing(qtbot, rail):
    heard = Heard(rail)
    qtbot.mouseClick(rail, Qt.MouseButton.RightButton)
    assert heard.said == []


def test_the_wheel_with_ctrl_zooms_at_the_pointer_and_then_scrolls(rail):
    y = y_of(rail, 60)
    held = rail.scale.time(y)
    assert not wheel(rail, 50, y, 1), "with all in sight the wheel is left to others"
    assert wheel(rail, 50, y, 4, Qt.KeyboardModifier.ControlModifier)
    assert rail.scale.zoom == pytest.approx(1.25**4)
    assert rail.scale.time(y) == pytest.approx(held)
    top = rail.scale.top_s
    assert wheel(rail, 50, y, -1)
    assert rail.scale.top_s > top
    rail.fit_all()
    assert rail.scale.zoom == 1.0


def test_a_new_reading_keeps_the_zoom(rail, run):
    rail.zoom_in()
    zoomed = rail.scale
    rail.show_run(run, a_film(run), a_reading(run))
    assert rail.scale == zoomed


def test_zoomed_the_axis_follows_the_film(rail, run):
    for _ in range(10):
        rail.zoom_in()
    rail.set_frame(run.last_frame)
    assert rail.scale.top_s <= rail._content.cells.time(run.last_frame) <= rail.scale.bottom_s
