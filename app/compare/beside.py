"""What stands beside two films, page by page: their rails, what differs between them."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QTabWidget, QWidget

from analysis.values.words import tr
from app.bench import Bench
from app.compare.charts import PairCharts
from app.compare.differences import Differences
from app.compare.rails import RailPair
from app.compare.sides import TwoSides

FILM_SHARE = 0.45
"""With less than this of the width left for the films, one rail has to do."""


class Beside(QTabWidget):
    """A page that is not in sight works nothing out.

    Attributes: ``rails``, ``differences``, ``charts``.
    Signals:
        step_requested(int): a step of a measure that was chosen.
        turned(): another page came to sight.
    """

    step_requested = Signal(int)
    turned = Signal()

    def __init__(self, bench: Bench, sides: TwoSides, parent: QWidget) -> None:
        super().__init__(parent)
        self._sides = sides
        self.rails = RailPair(sides, self)
        self.differences = Differences(bench, self)
        self.charts = PairCharts(sides, self)
        self.setDocumentMode(True)
        self.setAccessibleName(tr("Rails, differences and charts"))
        self.addTab(self.rails, tr("Rails"))
        self.addTab(self.differences, tr("Differences"))
        self.addTab(self.charts, tr("Charts"))
        self.differences.step_requested.connect(self.step_requested)
        self.currentChanged.connect(self._turned)

    def show_looks(self) -> None:
        """Show both runs as they stand now, on the page in sight."""
        if self.currentWidget() is self.differences:
            self.differences.show_looks(self._sides.upper.look, self._sides.lower.look)
        self.charts.refresh()

    def width_in(self, room: int) -> int:
        """How wide this is in so much room: both rails, or a whole page, where the films keep their share."""
        both = self.rails.least_width()
        has_room = room - both >= FILM_SHARE * room
        self.rails.show_both(has_room)
        width = both if has_room else self.rails.minimumSizeHint().width()
        page = self.currentWidget()
        if page is not self.rails:
            width = max(width, min(page.sizeHint().width(), int(room * (1 - FILM_SHARE))))
        return width

    @Slot()
    def turn_page(self) -> None:
        """Go to the next page, from the last one to the first."""
        self.setCurrentIndex((self.currentIndex() + 1) % self.count())

    @Slot()
    def _turned(self) -> None:
        self.show_looks()
        self.turned.emit()
