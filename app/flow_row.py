"""Buttons in a row that goes on in a next one where the place is narrow or the text large."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidgetItem

from app.theme.tokens import Space


class FlowRow(QLayout):
    """Each part has the size it asks for, at the most the whole width; a hidden one takes no place."""

    def __init__(self) -> None:
        super().__init__()
        self._parts: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(Space.SMALL)

    def addItem(self, item: QLayoutItem | QWidgetItem) -> None:
        self._parts.append(item)

    def count(self) -> int:
        return len(self._parts)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._parts[index] if 0 <= index < len(self._parts) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._parts.pop(index) if 0 <= index < len(self._parts) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._flow(QRect(0, 0, width, 0), place=False)

    def sizeHint(self) -> QSize:
        hints = [part.sizeHint() for part in self._parts if not part.isEmpty()]
        across = sum(hint.width() for hint in hints) + self.spacing() * max(0, len(hints) - 1)
        return QSize(across, max((hint.height() for hint in hints), default=0))

    def minimumSize(self) -> QSize:
        least = QSize()
        for part in self._parts:
            if not part.isEmpty():
                least = least.expandedTo(part.sizeHint())
        return least

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._flow(rect, place=True)

    def _flow(self, rect: QRect, *, place: bool) -> int:
        """Lay the parts out in a width; how high they then stand."""
        at, row = QPoint(rect.topLeft()), 0
        for part in self._parts:
            if part.isEmpty():
                continue
            size = part.sizeHint()
            if at.x() > rect.x() and at.x() + size.width() > rect.x() + rect.width():
                at, row = QPoint(rect.x(), at.y() + row + self.spacing()), 0
            if place:
                part.setGeometry(QRect(at, size.boundedTo(QSize(rect.width(), size.height()))))
            at.setX(at.x() + size.width() + self.spacing())
            row = max(row, size.height())
        return at.y() + row - rect.y()
