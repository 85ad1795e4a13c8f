"""A panel that is made a moment later than asked, and drawn piece by piece, only while it is in sight."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QTimer, Slot
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

_AFTER_MS = 150
"""A drag makes many readings: the panel is made anew when the hand rests."""


class LatePanel(QWidget):
    """Nothing waits for it, and nothing is worked out for it out of sight."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._later = self._timer(_AFTER_MS, self._make_late)
        self._drawing = self._timer(0, self._draw_late)

    @property
    def working(self) -> bool:
        """Whether something is still to be made or drawn."""
        return self._later.isActive() or self._drawing.isActive()

    def make_later(self) -> None:
        """Make it anew when the hand rests, where it is in sight."""
        if self.isVisible():
            self._later.start()

    @Slot()
    def draw_on(self) -> None:
        """Draw what is not drawn yet, where it is in sight."""
        if self.isVisible():
            self._drawing.start()

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._later.stop()
        self._drawing.stop()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.make_later()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._later.stop()
        self._drawing.stop()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.make_later()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange) and hasattr(self, "_drawing"):
            self.make_later()

    def _make(self) -> None:
        """Put up the places of all pieces."""
        raise NotImplementedError

    def _draw_next(self) -> bool:
        """Draw one piece; False where all are drawn."""
        raise NotImplementedError

    @Slot()
    def _make_late(self) -> None:
        self._make()
        self.draw_on()

    @Slot()
    def _draw_late(self) -> None:
        if self._draw_next():
            self._drawing.start()  # the window has its turn first

    def _timer(self, after_ms: int, act: Callable[[], None]) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(after_ms)
        timer.timeout.connect(act)
        return timer
