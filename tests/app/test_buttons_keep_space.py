"""Space presses the button that the keyboard came to, and is the film's elsewhere and after a click."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from app.buttons_keep_space import ButtonsKeepSpace


@pytest.fixture
def film(qtbot):
    """A window whose Space plays, with two buttons in it."""
    film = QWidget()
    qtbot.addWidget(film)
    film.button, film.check = QPushButton("one", film), QCheckBox("two", film)
    film.pressed, film.played = [], []
    film.button.clicked.connect(lambda: film.pressed.append("one"))
    film.check.clicked.connect(lambda: film.pressed.append("two"))
    column = QVBoxLayout(film)
    column.addWidget(film.button)
    column.addWidget(film.check)
    play = QAction(film)
    play.setShortcut(Qt.Key.Key_Space)
    play.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    play.triggered.connect(lambda: film.played.append(True))
    film.addAction(play)
    ButtonsKeepSpace(film)
    with qtbot.waitExposed(film):
        film.show()
    film.activateWindow()
    qtbot.waitUntil(film.isActiveWindow)
    return film


def come_to(qtbot, widget):
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(widget.hasFocus)


def test_a_button_with_the_keyboard_keeps_it(qtbot, film):
    for widget, name in ((film.button, "one"), (film.check, "two")):
        come_to(qtbot, widget)
        qtbot.keyClick(widget, Qt.Key.Key_Space)
        assert film.pressed[-1] == name
    assert not film.played


def test_after_a_click_it_is_the_film_s(qtbot, film):
    come_to(qtbot, film.check)
    come_to(qtbot, film.button)
    come_to(qtbot, film.check)
    qtbot.mouseClick(film.button, Qt.MouseButton.LeftButton)
    assert film.button.hasFocus()
    qtbot.keyClick(film.button, Qt.Key.Key_Space)
    assert film.pressed == ["one"]
    assert film.played == [True]


def test_other_keys_of_the_window_stay(qtbot, film):
    come_to(qtbot, film.button)
    qtbot.keyClick(film.button, Qt.Key.Key_Space, Qt.KeyboardModifier.ShiftModifier)
    film.actions()[0].setShortcut(Qt.Key.Key_S)
    qtbot.keyClick(film.button, Qt.Key.Key_S)
    assert film.played == [True]
