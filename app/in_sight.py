"""What has the keyboard is in sight: scrolled areas bring it there, wherever the keyboard came from."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget

_ROUND = 24


class KeepInSight(QObject):
    """Qt's own areas do so only where the keyboard comes from within them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._window = parent
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._moved)

    @Slot(QWidget, QWidget)
    def _moved(self, old: QWidget | None, now: QWidget | None) -> None:
        if now is None or not self._window.isAncestorOf(now) or not now.visibleRegion().isEmpty():
            return  # what is seen in part stays where it is: it may be under the mouse
        above = now.parentWidget()
        while above is not None and above is not self._window:
            if isinstance(above, QScrollArea) and above.widget() is not None:
                above.ensureWidgetVisible(now, _ROUND, _ROUND)
            above = above.parentWidget()
