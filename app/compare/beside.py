"""What stands beside two films, page by page: their rails, what differs, their charts and strips."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QTabWidget, QWidget

from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.compare.charts import PairCharts
from app.compare.differences import Differences
from app.compare.rails import RailPair
from app.compare.sides import TwoSides
from app.compare.strips import PairStrips

FILM_SHARE = 0.45
"""With less than this of the width left for the films, one rail has to do."""
LEAST_FILM_SHARE = 0.42
"""So much of the width a page leaves the films at least."""


class Beside(QTabWidget):
    """A page that is not in sight works nothing out.

    Attributes: ``rails``, ``differences``, ``charts``, ``strips``.
    Signals:
        asked(bool, int): of the lower film (True) or the upper one, this frame.
        run_requested(str): a run, by its id.
        turned(): another page came to sight, or one that needs another width.
    """

    asked = Signal(bool, int)
    run_requested = Signal(str)
    turned = Signal()

    def __init__(self, bench: Bench, actions: Actions, sides: TwoSides, parent: QWidget) -> None:
        super().__init__(parent)
        self._sides = sides
        self.rails = RailPair(sides, self)
        self.differences = Differences(bench, self)
        self.charts = PairCharts(sides, self)
        self.strips = PairStrips(bench, sides, actions, self)
        self.setDocumentMode(True)
        self.setAccessibleName(tr("Rails, differences, charts and strips"))
        self.addTab(self.rails, tr("Rails"))
        self.addTab(self.differences, tr("Differences"))
        self.addTab(self.charts, tr("Charts"))
        self.addTab(self.strips, tr("Strips"))
        self.differences.step_requested.connect(self._to_step)
        self.differences.run_requested.connect(self.run_requested)
        self.differences.reshaped.connect(self.turned)
        for page in (self.charts, self.strips):
            page.asked.connect(self.asked)
        self.currentChanged.connect(self._turned)

    def show_looks(self) -> None:
        """Show both runs as they stand now, on the page in sight."""
        if self.currentWidget() is self.differences:
            self.differences.show_looks(self._sides.upper.look, self._sides.lower.look)
        self.charts.refresh()
        self.strips.refresh()

    def set_frames(self) -> None:
        """Show which frames are on show."""
        self.charts.set_frames()
        self.strips.set_frames()

    def width_in(self, room: int) -> int:
        """How wide this is in so much room: both rails, or a whole page, where the films keep theirs."""
        both = self.rails.least_width()
        has_room = room - both >= FILM_SHARE * room
        self.rails.show_both(has_room)
        width = both if has_room else self.rails.minimumSizeHint().width()
        page = self.currentWidget()
        if page is not self.rails:
            width = max(width, min(page.sizeHint().width(), int(room * (1 - LEAST_FILM_SHARE))))
        return width

    @Slot(int)
    def _to_step(self, step: int) -> None:
        """The film in hand goes to the touchdown of a step; of the start push to the front foot's toe-off."""
        side = self._sides.in_hand
        look = side.look
        if look is None or look.reading is None:
            return
        found = next((one.touchdown for one in look.reading.steps if one.step == step), None)
        frame = look.run.start.front_toe_off if step == 0 else found
        if frame is not None:
            self.asked.emit(side is self._sides.lower, int(frame))

    @Slot()
    def turn_page(self) -> None:
        """Go to the next page, from the last one to the first."""
        self.setCurrentIndex((self.currentIndex() + 1) % self.count())

    @Slot()
    def _turned(self) -> None:
        self.show_looks()
        self.turned.emit()
