"""A slim bar that shows how much of something is done."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QProgressBar, QWidget

_STEPS = 1000
_BAR_PX = 8


class ShareBar(QProgressBar):
    """Without words of its own: they stand beside it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setRange(0, _STEPS)
        self.setTextVisible(False)
        self.setFixedHeight(_BAR_PX)

    @Slot(float)
    def show_share(self, share: float) -> None:
        """So much is done, 0 to 1."""
        self.setValue(round(share * _STEPS))
