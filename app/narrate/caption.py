"""What is said at a stop, in words; its room stays the same from stop to stop, so that no film jumps."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QLabel, QWidget

from analysis.values.words import tr
from app.theme.apply import sized
from app.theme.tokens import Type

_ENDLESS_PX = 1 << 20


class Caption(QLabel):
    """As high as the longest of its words, on show or hidden; of no height where none are said."""

    def __init__(self, all_words: Iterable[str], parent: QWidget) -> None:
        super().__init__(parent)
        self._all = tuple(filter(None, all_words))
        self.setAccessibleName(tr("What is said at the stop"))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(sized(self.font(), Type.FIGURE))
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter)
        policy = self.sizePolicy()
        policy.setRetainSizeWhenHidden(bool(self._all))
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        """Words break into lines."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Of the longest words, px."""
        room, how = QRect(0, 0, max(1, width), _ENDLESS_PX), Qt.TextFlag.TextWordWrap
        metrics = self.fontMetrics()
        return max((metrics.boundingRect(room, how, words).height() for words in self._all), default=0)
