"""All that the mouse does, by keys; and what a screen reader is told."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible

from app.rail.rail import StepRail
from tests.app.rail.hand import Heard
from tests.app.rail.invented import a_film, a_reading, a_run

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.mark.parametrize(
    ("key", "modifier", "frame"),
    [
        (Qt.Key.Key_Down, None, 61),
        (Qt.Key.Key_Up, None, 59),
        (Qt.Key.Key_Right, None, 61),
        (Qt.Key.Key_Left, None, 59),
        (Qt.Key.Key_PageDown, None, 70),
        (Qt.Key.Key_PageUp, None, 50),
        (Qt.Key.Key_Right, SHIFT, 70),
        (Qt.Key.Key_Home, None, 0),
        (Qt.Key.Key_End, None, 140),
    ],
)
def test_keys_step(qtbot, rail, key, modifier, frame):
    rail.set_frame(60)
    heard = Heard(rail)
    qtbot.keyClick(rail, key, modifier or Qt.KeyboardModifier.NoModifier)
    assert heard.said == [("frame", frame)]


def test_a_held_key_goes_on_before_the_film_answers(qtbot, rail):
    heard = Heard(rail)
    for _ in range(3):
        qtbot.keyClick(rail, Qt.Key.Key_Down)
    assert heard.frames == [1, 2, 3]


def test_return_takes_hold_of_the_nearest_edge_and_ctrl_moves_it(qtbot, rail):
    rail.set_frame(50)
    heard = Heard(rail)
    qtbot.keyClick(rail, Qt.Key.Key_Return)
    assert (rail.selected_edge.footfall_id, rail.selected_edge.which) == ("f0", "toe_off")
    qtbot.keyClick(rail, Qt.Key.Key_Down, CTRL)
    assert heard.said == [
        ("frame", 52),
        ("selected", "f0"),
        ("started", "f0", "toe_off"),
        ("frame", 53),
        ("dragged", "f0", "toe_off", 53),
        ("dropped", "f0", "toe_off", 53),
    ]
    qtbot.keyClick(rail, Qt.Key.Key_Up, CTRL)
    assert heard.of("dropped")[-1] == ("f0", "toe_off", 51), "the drop was not taken: the edge is on 52 still"


def test_escape_lets_go(qtbot, rail):
    rail.select("f1", "toe_off")
    qtbot.keyClick(rail, Qt.Key.Key_Escape)
    assert rail.selected_edge is None


def test_an_unknown_footfall_can_t_be_held(rail):
    rail.select("nobody")
    assert rail.selected_edge is None


def test_keys_zoom(qtbot, rail):
    qtbot.keyClick(rail, Qt.Key.Key_Plus)
    assert rail.scale.zoom > 1
    qtbot.keyClick(rail, Qt.Key.Key_0)
    assert rail.scale.zoom == 1


def accessible(rail):
    return QAccessible.queryAccessibleInterface(rail)


def test_it_is_a_slider_with_name_value_and_words(rail):
    rail.set_frame(42)
    interface = accessible(rail)
    assert interface.role() == QAccessible.Role.Slider
    assert interface.text(QAccessible.Text.Name) == "Step rail"
    assert interface.valueInterface().currentValue() == 42
    assert interface.valueInterface().minimumValue() == 0
    assert interface.valueInterface().maximumValue() == 140
    # first movement on frame 10 is the zero of time
    assert interface.text(QAccessible.Text.Description) == (
        "Frame 42, 0.320 s. 2 frames back: touchdown left, step 1."
    )
    rail.set_frame(52)
    assert interface.text(QAccessible.Text.Description).endswith("On it: toe-off left, step 1.")
    rail.set_frame(59)
    assert interface.text(QAccessible.Text.Description).endswith("1 frame on: touchdown right, step 2.")


def test_assistive_technology_moves_the_film(rail):
    heard = Heard(rail)
    accessible(rail).valueInterface().setCurrentValue(77)
    assert heard.said == [("frame", 77)]


def test_an_empty_rail_says_what_to_do(qtbot):
    rail = StepRail()
    qtbot.addWidget(rail)
    assert "Open a film" in accessible(rail).text(QAccessible.Text.Description)
    run = a_run(0, start=False)
    rail.show_run(run, a_film(run), None)
    assert "No event is marked yet" in accessible(rail).text(QAccessible.Text.Description)
    rail.show()
    qtbot.keyClick(rail, Qt.Key.Key_Return)
    qtbot.keyClick(rail, Qt.Key.Key_Down, CTRL)
    assert rail.value() == 0
    rail.clear()
    assert "Open a film" in accessible(rail).text(QAccessible.Text.Description)


def test_a_run_without_a_reading_stands_without_numbers(qtbot):
    run = a_run()
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.show_run(run, a_film(run), None)
    rail.resize(300, 500)
    assert not rail.grab().isNull()
    assert all(block.number is None for block in rail._content.blocks)
    rail.show_run(run, a_film(run), a_reading(run))
    assert [b.number is not None for b in rail._content.blocks] == [True] * 6
