"""A button that has the keyboard keeps Space: it presses the button, and doesn't play the film."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget


class ButtonsKeepSpace(QObject):
    """Qt's buttons let a key of the window have Space; fields and lists keep theirs themselves."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._window = parent
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._moved)

    @Slot(QWidget, QWidget)
    def _moved(self, old: QWidget | None, now: QWidget | None) -> None:
        # the old one may be on its way out: it is left alone, and keeps the filter
        if isinstance(now, QAbstractButton) and self._window.isAncestorOf(now):
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Claim Space before it is looked for among the keys of the window."""
        if event.type() is not QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        if event.key() != Qt.Key.Key_Space or event.modifiers():
            return False
        event.accept()
        return True
