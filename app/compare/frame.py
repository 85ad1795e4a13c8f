"""How the Compare workspace is divided: two films over each other, what stands beside them, the bars."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.compare.beside import Beside
from app.compare.lock_bar import LockBar
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.clock import Clock
from app.film.ticker import Ticker
from app.film.transport import TransportBar
from app.run.toolbox import ToolColumn
from app.theme.tokens import Space


class CompareFrame(QWidget):
    """Puts the parts in their places, and says which side is which.

    Attributes: ``ticker`` the one clock of both films; ``bar`` above them, ``transport`` below;
    ``beside`` the pages beside them.
    """

    def __init__(self, bench: Bench, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench, self._actions = bench, actions
        self.ticker = Ticker(Clock(), self)
        one, two = (CompareSide(self.ticker, bench.films.memory_bytes // 2, self) for _ in range(2))
        self._sides = TwoSides(one, two)
        self.bar = LockBar(actions, self)
        self.transport = TransportBar(actions, self)
        self.beside = Beside(bench, actions, self._sides, self)
        self._lay_out()
        self._name_sides()
        self.beside.turned.connect(self._divide)

    def _lay_out(self) -> None:
        self._films = QSplitter(Qt.Orientation.Vertical, self)
        for side in self._sides:
            self._films.addWidget(side)
            self._films.setStretchFactor(self._films.indexOf(side), 1)
        self._films.setChildrenCollapsible(False)
        films = QWidget(self)
        column = QVBoxLayout(films)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._films, 1)
        column.addWidget(self.transport)
        across = self._across = QSplitter(Qt.Orientation.Horizontal, self)
        for place, part in enumerate((films, self.beside)):
            across.addWidget(part)
            across.setStretchFactor(place, int(place == 0))
        across.setChildrenCollapsible(False)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        self._tools = ToolColumn(self._actions, self)
        row.addWidget(self._tools)
        row.addWidget(across, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(Space.HAIR)
        whole.addWidget(self.bar)
        whole.addLayout(row, 1)

    @property
    def upper_side(self) -> CompareSide:
        """The side above."""
        return self._sides.upper

    @property
    def lower_side(self) -> CompareSide:
        """The side below."""
        return self._sides.lower

    @property
    def active(self) -> CompareSide:
        """The side in hand."""
        return self._sides.in_hand

    @property
    def other(self) -> CompareSide:
        """The side that is not in hand."""
        return self._sides.other

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the new width."""
        super().resizeEvent(event)
        self._divide()

    def changeEvent(self, event: QEvent) -> None:
        """Other text needs other widths."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange and hasattr(self, "_tools"):
            self._divide()

    @Slot()
    def _divide(self) -> None:
        room = self.width() - self._tools.minimumSizeHint().width()
        beside = self.beside.width_in(room)
        self._across.setSizes([max(1, room - beside), beside])

    def _arrange(self) -> None:
        """Bring the upper side's film above and its rail to the left."""
        self._films.insertWidget(0, self.upper_side)
        self.beside.rails.arrange()
        self._name_sides()

    def _name_sides(self) -> None:
        self.upper_side.name(tr("Upper film"))
        self.lower_side.name(tr("Lower film"))
