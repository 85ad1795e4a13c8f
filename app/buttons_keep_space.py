"""A button that the keyboard came to keeps Space: it presses the button, and doesn't play the film."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget


class ButtonsKeepSpace(QObject):
    """Qt's buttons let a key of the window have Space; fields and lists keep theirs themselves.

    One that was clicked with the mouse does so still: after a click the coach plays the film with Space.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._window = parent
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._moved)

    @Slot(QWidget, QWidget)
    def _moved(self, old: QWidget | None, now: QWidget | None) -> None:
        # the old one may be on its way out: it is left alone
        if not isinstance(now, QAbstractButton) or not self._window.isAncestorOf(now):
            return
        if QApplication.mouseButtons() == Qt.MouseButton.NoButton:
            now.installEventFilter(self)
        else:
            now.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Claim Space before it is looked for among the keys of the window."""
        if event.type() is not QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        if event.key() != Qt.Key.Key_Space or event.modifiers():
            return False
        event.accept()
        return True
