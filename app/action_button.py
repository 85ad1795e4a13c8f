"""A button in words for what a key does too."""

from __future__ import annotations

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QPushButton, QWidget


def action_button(action: QAction, words: str, parent: QWidget) -> QPushButton:
    """A button that fires an action; in its own words, with the action's tooltip."""
    button = QPushButton(words, parent)
    button.setToolTip(action.toolTip())
    button.clicked.connect(action.trigger)
    return button
