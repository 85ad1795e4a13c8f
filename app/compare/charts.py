"""The page of charts beside two films: both runs on one axis, one measure or four at a time."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from analysis.reading.compare import compare
from analysis.values.comparison import Comparison
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.compare.pair_chart import PairChart
from app.compare.pair_choices import OVER_TIME, SPEED, STEPS, Over, PairChoice
from app.compare.pair_drawing import legend
from app.compare.pair_shown import PairRun, pair_shown
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.run.section_view import said
from app.theme.apply import current_theme
from app.theme.tokens import Space

_WANTED_PX = 620


class PairCharts(QWidget):
    """Works nothing out while it is out of sight; from frame to frame only the playheads move.

    Signals: asked(bool, int): of the lower film (True) or the upper one, this frame.
    """

    asked = Signal(bool, int)

    def __init__(self, sides: TwoSides, parent: QWidget) -> None:
        super().__init__(parent)
        self._sides = sides
        self._rest_on: object = None
        self._readings: tuple[Reading, Reading] | None = None
        self._comparison: Comparison | None = None
        self.choice = QComboBox(self)
        self.choice.setAccessibleName(tr("What the charts show"))
        self.choice.addItem(tr("Step by step"))
        for one in (SPEED, *OVER_TIME):
            self.choice.addItem(one.title)
        self.choice.currentIndexChanged.connect(self.refresh)
        self._legend = QLabel(self)
        self._legend.setTextFormat(Qt.TextFormat.RichText)
        self._legend.setWordWrap(True)
        self.words = said("", "caption", wrap=True)
        self.words.setText(tr("Tag and mark both runs to see them on one axis."))
        self.four = [PairChart(self) for _ in STEPS]
        self.one = PairChart(self)
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(Space.TIGHT)
        for place, chart in enumerate(self.four):
            grid.addWidget(chart, place // 2, place % 2)
        small = QWidget(self)
        small.setLayout(grid)
        self._pages = QStackedWidget(self)
        for page in (small, self.one):
            self._pages.addWidget(page)
        for chart in (*self.four, self.one):
            chart.asked.connect(self.asked)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addWidget(self.choice, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self._legend)
        column.addWidget(self.words)
        column.addWidget(self._pages, 1)

    def sizeHint(self) -> QSize:
        return QSize(_WANTED_PX, 480)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show both runs as they are laid side by side now."""
        if not self.isVisible():
            return
        runs = [run for side in self._sides if (run := self._run(side)) is not None]
        there = len(runs) == 2
        self.words.setVisible(not there)
        self._pages.setVisible(there)
        self._legend.setVisible(there)
        if there:
            self._show((runs[0], runs[1]))
        self.set_frames()

    def set_frames(self) -> None:
        """Bring the playheads to the frames on show."""
        if self.isVisible():
            upper, lower = (side.frame for side in self._sides)
            for chart in self.four if self._pages.currentIndex() == 0 else (self.one,):
                chart.set_frames(upper, lower)

    @property
    def chosen(self) -> tuple[PairChoice, ...]:
        """The charts on show."""
        place = self.choice.currentIndex()
        return STEPS if place == 0 else ((SPEED, *OVER_TIME)[place - 1],)

    def _show(self, runs: tuple[PairRun, PairRun]) -> None:
        chosen, theme, names = self.chosen, current_theme(), (runs[0].name, runs[1].name)
        maps = tuple(side.pane.time_map for side in self._sides) if chosen[0].over is Over.TIME else ()
        rest_on = chosen, maps, names, theme.name
        compared = self._compare(runs)
        if rest_on == self._rest_on and not compared:
            return
        self._rest_on = rest_on
        self._pages.setCurrentIndex(0 if chosen is STEPS else 1)
        self._legend.setText(legend(theme, names))
        assert self._comparison is not None
        for chart, choice in zip(self.four if chosen is STEPS else [self.one], chosen, strict=True):
            chart.show_pair(choice, pair_shown(choice, runs, self._comparison))

    def _compare(self, runs: tuple[PairRun, PairRun]) -> bool:
        """Find what can be told apart; False where both readings are as they were. Other conditions bar no
        chart: it shows, and claims nothing of the athlete.
        """
        before, self._readings = self._readings, (runs[0].reading, runs[1].reading)
        if before is not None and all(a is b for a, b in zip(before, self._readings, strict=True)):
            return False
        one, two = self._readings
        self._comparison = compare([one], [two], allow_other_conditions=True)
        return True

    def _run(self, side: CompareSide) -> PairRun | None:
        look = side.look
        if look is None or look.reading is None or look.facts is None:
            return None
        lower = side is self._sides.lower
        return PairRun(look.run.name, look.reading, look.facts.times, lower, side.pane.time_map.master_s)
