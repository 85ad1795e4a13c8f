"""Two step rails beside each other, each under the name of its run."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.theme.tokens import Space


class RailPair(QWidget):
    """The upper film's rail on the left, the lower film's on the right; where text is large or the window
    narrow, the rail of the film in hand alone.
    """

    def __init__(self, sides: TwoSides, parent: QWidget) -> None:
        super().__init__(parent)
        self._sides = sides
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(1)
        self._columns = {side: _column(side, self) for side in sides}
        self.arrange()

    def arrange(self) -> None:
        """The upper film's to the left."""
        for side in self._sides:
            self._row.addWidget(self._columns[side], 1)

    def least_width(self) -> int:
        """What both need beside each other."""
        return sum(column.minimumSizeHint().width() for column in self._columns.values()) + 1

    def show_both(self, both: bool) -> None:
        """Show both, or the one of the film in hand."""
        for side, column in self._columns.items():
            column.setVisible(both or side is self._sides.in_hand)

    def minimumSizeHint(self) -> QSize:
        """What one needs."""
        hints = [column.minimumSizeHint() for column in self._columns.values()]
        return QSize(max(hint.width() for hint in hints), max(hint.height() for hint in hints))

    def sizeHint(self) -> QSize:
        """As narrow as the rails can be: the films take the rest."""
        return QSize(self.least_width(), self.minimumSizeHint().height())


def _column(side: CompareSide, parent: QWidget) -> QWidget:
    column = QWidget(parent)
    column.setProperty("role", "panel")
    column.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    name: QLabel = side.rail_name
    name.setAlignment(Qt.AlignmentFlag.AlignCenter)
    name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    name.setContentsMargins(Space.BASE, Space.SMALL, Space.BASE, 0)
    layout = QVBoxLayout(column)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    layout.addWidget(name)
    layout.addWidget(side.rail, 1)
    return column
