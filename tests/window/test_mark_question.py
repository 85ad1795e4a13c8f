"""The question beside a mark, and the table of marks."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from tests.helpers.films import GROUND_PX


@pytest.fixture
def asked(marked):
    """A coach who clicked a fourth mark and is asked for its distance."""
    marked.press("M")
    marked.click(230, GROUND_PX)
    marked.qtbot.waitUntil(marked.workspace.toolbox.question.isVisible)
    return marked


def answer(coach, text: str, key=Qt.Key.Key_Return) -> None:
    """Write over what stands in the field and press a key."""
    field = coach.workspace.toolbox.question.along
    field.selectAll()
    coach.qtbot.keyClicks(field, text)
    coach.qtbot.keyClick(field, key)


def distances(coach) -> list[float]:
    return [mark.x_m for mark in coach.bench.run.marks]


def test_enter_places_the_mark(asked):
    assert asked.workspace.toolbox.question.along.value() == 15.0  # on by the last gap
    answer(asked, "7.5")
    assert not asked.workspace.toolbox.question.isVisible()
    assert distances(asked) == [0.0, 5.0, 7.5, 10.0]
    assert asked.bench.run.marks[2].u == pytest.approx(230, abs=1e-6)
    assert asked.view.hasFocus()
    asked.press("Ctrl+Z")
    assert distances(asked) == [0.0, 5.0, 10.0]


def test_lines_of_one_spacing_need_enter_alone_after_the_second(marked):
    question = marked.workspace.toolbox.question
    marked.press("M")
    marked.mark(20 + 28 * 7.5, GROUND_PX, 7.5)
    for u in (306.0, 313.0):
        marked.click(u, GROUND_PX)
        marked.qtbot.waitUntil(question.isVisible)
        marked.qtbot.keyClick(question.along, Qt.Key.Key_Return)
    assert distances(marked) == [0.0, 5.0, 7.5, 10.0, 12.5, 15.0]


@pytest.mark.parametrize("typed", ["7,5", "7.5", " 7.5 m", "+7.5"])
def test_a_comma_is_a_point_whatever_the_machine_thinks(asked, typed):
    answer(asked, typed)
    assert 7.5 in distances(asked)


def test_escape_drops_it(asked):
    asked.press("Esc", on=asked.workspace.toolbox.question.along)
    assert not asked.workspace.toolbox.question.isVisible()
    assert distances(asked) == [0.0, 5.0, 10.0]
    assert asked.workspace.toolbox.in_hand.id == "mark_tool"
    assert not asked.view._ghost.dots
    asked.press("Esc")
    assert asked.workspace.toolbox.in_hand.id == "select_tool"


def test_a_repeated_distance_is_refused_and_asked_again(asked):
    answer(asked, "5")
    question = asked.workspace.toolbox.question
    assert "Two marks stand at 5 m" in asked.notice
    assert question.isVisible()
    assert question.along.hasFocus()
    assert distances(asked) == [0.0, 5.0, 10.0]
    asked.qtbot.keyClicks(question.along, "7")  # what stood there is selected
    asked.qtbot.keyClick(question.along, Qt.Key.Key_Return)
    assert not question.isVisible()
    assert distances(asked) == [0.0, 5.0, 7.0, 10.0]


def test_the_mark_belongs_to_the_frame_that_was_clicked(asked):
    asked.pane.go_to(40)
    asked.wait_for(40)
    answer(asked, "7.5")
    assert asked.bench.run.marks[2].frame == 20


def test_another_film_ends_the_question(asked, small):
    assert asked.window.open_path(small.with_suffix(".cinderlane"))
    asked.wait_for_picture()
    assert not asked.workspace.toolbox.question.isVisible()
    assert distances(asked) == [0.0, 5.0, 10.0]


def test_buttons_do_the_same(asked):
    question = asked.workspace.toolbox.question
    asked.qtbot.mouseClick(question.cancel, Qt.MouseButton.LeftButton)
    assert not question.isVisible()
    asked.click(230, GROUND_PX)
    question.along.setValue(7.5)
    asked.qtbot.mouseClick(question.place, Qt.MouseButton.LeftButton)
    assert 7.5 in distances(asked)


# the table


@pytest.fixture
def table(marked):
    marked.workspace.panels.show_panel(marked.workspace.marks)
    table = marked.workspace.marks.table
    marked.qtbot.waitUntil(table.isVisible)
    table.setFocus()
    table.setCurrentCell(1, 0)
    return table


def write(qtbot, table, text: str) -> None:
    """Begin to type in the current cell: the first key opens its field."""
    qtbot.keyClick(table, text[0])
    (field,) = table.viewport().findChildren(QLineEdit)
    qtbot.keyClicks(field, text[1:])
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not table.viewport().findChildren(QLineEdit))


@pytest.mark.parametrize(("typed", "stored"), [("6.5", 6.5), ("6,5", 6.5), ("0.5", 0.5), ("-2", -2.0)])
def test_a_distance_is_changed_in_the_table(marked, table, qtbot, typed, stored):
    write(qtbot, table, typed)
    assert stored in distances(marked)
    assert 5.0 not in distances(marked)
    assert marked.bench.stack.count() == 1
    row = distances(marked).index(stored)
    assert table.currentRow() == row  # the row went where its distance belongs
    assert table.item(row, 0).text() == f"{stored:g}"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("5x", "is no number"),
        ("1e9", "can't be right"),
        ("10", "Two marks stand at 10 m"),
        ("-", "is no number"),
    ],
)
def test_a_number_that_can_not_be_is_refused_and_the_old_one_stands(marked, table, qtbot, typed, sentence):
    write(qtbot, table, typed)
    assert sentence in marked.notice
    assert distances(marked) == [0.0, 5.0, 10.0]
    assert table.item(1, 0).text() == "5"


def test_delete_takes_the_row(marked, table, qtbot):
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    assert distances(marked) == [0.0, 10.0]
    marked.press("Ctrl+Z")
    assert distances(marked) == [0.0, 5.0, 10.0]


def test_the_row_of_the_mark_selected_on_the_picture_is_selected(marked, table):
    marked.click(300, GROUND_PX)
    assert table.currentRow() == 2
    assert table.selectedItems()
    marked.click(200, 40)
    assert not table.selectedItems()


def test_how_far_the_camera_stood(marked, qtbot):
    marked.workspace.panels.show_panel(marked.workspace.camera)
    camera = marked.workspace.camera.distance
    camera.setFocus()
    camera.selectAll()
    qtbot.keyClicks(camera, "12,5")
    qtbot.keyClick(camera, Qt.Key.Key_Return)
    assert marked.bench.run.camera_distance_m == 12.5
    marked.press("Ctrl+Z")
    assert marked.bench.run.camera_distance_m is None
    assert camera.text() == "not measured"
