"""Words that can be chosen; with little room they are shortened on screen, never in what they are called."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

_LEAST_CHARACTERS = 12
_AROUND_PX = 6


class LinkButton(QPushButton):
    """A button that looks like a link."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self.setProperty("role", "link")
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.say(words)

    def say(self, words: str) -> None:
        """Show other words."""
        self._words = words
        self.setAccessibleName(words)
        self._write()
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Room for all words."""
        wide = self.fontMetrics().horizontalAdvance(self._words) + 2 * _AROUND_PX
        return QSize(wide, super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Room for the first of them."""
        least = self.fontMetrics().averageCharWidth() * _LEAST_CHARACTERS
        return QSize(min(self.sizeHint().width(), least), super().sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten to the room that there is."""
        super().resizeEvent(event)
        self._write()

    def changeEvent(self, event: QEvent) -> None:
        """Other text needs other room."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._write()

    def _write(self) -> None:
        room = self.width() - _AROUND_PX
        shown = self.fontMetrics().elidedText(self._words, Qt.TextElideMode.ElideRight, room)
        self.setText(shown)
        self.setToolTip(self._words if shown != self._words else "")
