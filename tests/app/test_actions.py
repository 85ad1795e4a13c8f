"""The table of commands: nothing twice, nothing without an icon that it names, nothing that does nothing."""

from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import SIGNAL, QObject
from PySide6.QtGui import QKeySequence

from app.actions import TABLE, Actions, Scope, keys_table, shown_keys
from app.keys_page import PAGE, keys_page
from app.main_window import MainWindow
from app.settings import Settings
from app.theme.glyphs import GLYPHS


def test_every_id_stands_once():
    assert [name for name, count in Counter(spec.id for spec in TABLE).items() if count > 1] == []


def overlap(one: Scope, other: Scope) -> bool:
    """The picture lies in the film's part of the window, and that in the window."""
    assert set(Scope) == {Scope.WINDOW, Scope.FILM, Scope.PICTURE}
    return True


def test_no_key_means_two_things_in_one_place():
    twice = [
        (one.id, other.id, sorted(both))
        for one, other in combinations(TABLE, 2)
        if overlap(one.scope, other.scope) and (both := _keys(one) & _keys(other))
    ]
    assert twice == []


def _keys(spec) -> set[str]:
    return {QKeySequence(key).toString(QKeySequence.SequenceFormat.PortableText) for key in spec.keys}


@pytest.mark.parametrize("spec", TABLE, ids=lambda spec: spec.id)
def test_every_line_of_the_table_is_whole(spec):
    assert all(not QKeySequence(key).isEmpty() for key in spec.keys)
    assert not spec.icon or spec.icon in GLYPHS
    assert spec.text[0].isupper()
    assert len(spec.help) > 6
    assert not spec.help.endswith(".")


def test_every_command_does_something_in_the_window(qtbot, home):
    window = MainWindow(Settings(home / "settings.json"), home)
    qtbot.addWidget(window)
    idle = [
        spec.id
        for spec in TABLE
        if QObject.receivers(window.actions_table[spec.id], SIGNAL("triggered(bool)")) == 0
    ]
    # an action group listens to each of its tools as well, so that these are counted apart
    grouped = [spec.id for spec in TABLE if window.actions_table[spec.id].actionGroup() is not None]
    assert idle == []
    assert all(
        QObject.receivers(window.actions_table[name], SIGNAL("triggered(bool)")) > 1 for name in grouped
    )


def test_menus_hold_every_command_once(qtbot, home):
    window = MainWindow(Settings(home / "settings.json"), home)
    qtbot.addWidget(window)
    shown = [action.objectName() for menu in window.menuBar().actions() for action in menu.menu().actions()]
    assert sorted(shown) == sorted(spec.id for spec in TABLE)


def test_a_tooltip_says_the_key(qtbot):
    owner = QObject()
    actions = Actions(owner)
    touchdown = next(spec for spec in TABLE if spec.id == "touchdown")
    assert shown_keys(touchdown) == "D"
    assert actions["touchdown"].toolTip().startswith("Touchdown (D)\n")
    with pytest.raises(KeyError):
        actions["unheard of"]


def test_the_page_in_the_docs_is_the_table():
    assert Path(__file__).resolve().parents[2] / "docs" / "keys.md" == PAGE
    assert PAGE.read_text(encoding="utf-8") == keys_page(), "run: python3 -m app.keys_page"
    assert keys_table().count("\n") == len(TABLE) + 2
