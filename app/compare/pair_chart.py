"""One chart of two runs, with the playhead of each film."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

import pyqtgraph as pg  # isort: skip

from analysis.values.words import tr
from app.charts.point_chart import PointChart
from app.compare.pair_choices import Over, PairChoice
from app.compare.pair_drawing import draw, playhead_pen
from app.compare.pair_shown import PairPoint, PairShown
from app.theme.apply import current_theme
from app.theme.tokens import Space


class PairChart(PointChart[PairPoint]):
    """Keys go through the numbers of both runs; Return or a click on one asks its film for its frame.

    Signals: asked(bool, int): of the lower film (True) or the upper one, this frame.
    """

    asked = Signal(bool, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Chart of two runs"), tr("Plot of two runs"), parent)
        self._shown: PairShown | None = None
        self._title = ""
        self._frames = (0, 0)
        self._second = pg.InfiniteLine(angle=90)
        self._second.setZValue(20)
        self.heading = QLabel(self)
        self.heading.setProperty("role", "caption")
        self.none = QLabel(tr("Nothing of this is read in either run."), self)
        self.none.setProperty("role", "caption")
        self.none.setWordWrap(True)
        self._pages = column = QVBoxLayout(self)
        column.setContentsMargins(Space.TIGHT, Space.TIGHT, Space.TIGHT, 0)
        column.setSpacing(Space.HAIR)
        column.addWidget(self.heading)
        column.addWidget(self.none, 1)
        column.addWidget(self._plot, 1)

    def show_pair(self, choice: PairChoice, shown: PairShown) -> None:
        """Show another chart, or this one as it stands now."""
        self._shown, self._title = shown, choice.title
        kept = self._current.words if self._current is not None else ""
        self._current = next((p for p in shown.points if p.words == kept), None)
        self.heading.setText(_heading(choice, shown))
        self.setAccessibleName(tr("{chart} of two runs").format(chart=choice.title))
        self.none.setVisible(shown.empty)
        self._plot.setVisible(not shown.empty)
        self.setAccessibleDescription(self.text_alternative())
        self._redraw()

    @property
    def shown(self) -> PairShown | None:
        """What is on show."""
        return self._shown

    def set_frames(self, upper: int, lower: int) -> None:
        """Bring both playheads to the frames of both films."""
        if (upper, lower) != self._frames:
            self._frames = upper, lower
            self._move_playhead()

    def playheads_at(self) -> tuple[float | None, float | None]:
        """Where both stand on the axis; None where one is not shown."""
        first, second = self._playhead, self._second
        one, two = (float(line.value()) if line.isVisible() else None for line in (first, second))
        return one, two

    def text_alternative(self) -> str:
        """The chart in sentences."""
        points = () if self._shown is None else self._shown.points
        return "\n".join([self._title, *(point.words for point in points)]) if points else self.none.text()

    def _in_order(self) -> list[PairPoint]:
        points = () if self._shown is None else self._shown.points
        return sorted(points, key=_place)

    def _across(self, point: PairPoint) -> tuple[float, float]:
        return point.across, point.number.value

    def _place_of_frame(self, frame: int) -> float | None:
        return None if self._shown is None else self._shown.across_at(frame, lower=False)

    def _ask(self, point: PairPoint) -> None:
        self.asked.emit(point.lower, point.frame)

    def _draw_all(self) -> None:
        if self._shown is not None:
            draw(self._plot, self._shown, self._current, current_theme(), self.font())

    def _add_playhead(self) -> None:
        theme = current_theme()
        for line, lower in ((self._playhead, False), (self._second, True)):
            line.setPen(playhead_pen(theme, lower=lower))
            self._plot.addItem(line, ignoreBounds=True)
        self._move_playhead()

    def _move_playhead(self) -> None:
        if not self.isVisible() or self._shown is None:
            return  # moved when it comes to sight
        for line, lower in ((self._playhead, False), (self._second, True)):
            at = self._shown.across_at(self._frames[int(lower)], lower=lower)
            line.setVisible(at is not None)
            if at is not None:
                line.setValue(at)


def _heading(choice: PairChoice, shown: PairShown) -> str:
    """What goes up and what goes across: "Trunk, ° over s"."""
    across = {Over.STEPS: tr("steps"), Over.METRES: tr("m"), Over.TIME: tr("s of the clock")}[choice.over]
    words = tr("{title}, {unit} over {across}") if shown.unit.symbol else tr("{title}, over {across}")
    return words.format(title=choice.title, unit=shown.unit.symbol, across=across)


def _place(point: PairPoint) -> tuple[float, bool]:
    return point.across, point.lower
