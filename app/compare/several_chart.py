"""The chart of one measure over several runs, each with its interval, in groups by their days."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

import pyqtgraph as pg  # isort: skip

from analysis.report.words import headed
from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.ink import draw_ring
from app.charts.legend import entry, legend_line
from app.charts.point_chart import PointChart
from app.compare.several_shown import RunPoint, SeveralShown
from app.theme.apply import current_theme
from app.theme.tokens import Space, Theme

_HELD_ALPHA = 38
_SYMBOL_PX = 9
_BESIDE = 0.35
"""So far beside its first and last run reaches the line of a day's mean."""


class SeveralChart(PointChart[RunPoint]):
    """Keys go from run to run; Return or a click on one asks for it.

    Signals: run_requested(str): the run of a number that was chosen, by its id.
    """

    run_requested = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Chart of several runs"), tr("Plot of several runs"), parent)
        self._shown: SeveralShown | None = None
        self.heading = QLabel(self)
        self.heading.setTextFormat(Qt.TextFormat.RichText)
        self.heading.setWordWrap(True)
        self._pages = column = QVBoxLayout(self)
        column.setContentsMargins(0, Space.TIGHT, 0, 0)
        column.setSpacing(Space.HAIR)
        column.addWidget(self.heading)
        column.addWidget(self._plot, 1)

    def sizeHint(self) -> QSize:
        return QSize(300, 230)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 190)

    @property
    def shown(self) -> SeveralShown | None:
        """What is on show."""
        return self._shown

    def show_runs(self, shown: SeveralShown | None) -> None:
        """Show a measure of several runs; None: nothing, and no room is taken."""
        self.setVisible(shown is not None)
        if shown == self._shown:
            return
        kept = self._current.run_id if self._current is not None else ""
        self._shown = shown
        self._current = next((point for point in self._in_order() if point.run_id == kept), None)
        if shown is not None:
            self.setAccessibleName(tr("{chart} of several runs").format(chart=shown.title))
            self.setAccessibleDescription(self.text_alternative())
        self._redraw()

    def text_alternative(self) -> str:
        """The chart in sentences."""
        title = "" if self._shown is None else self._shown.title
        return "\n".join([title, *(point.words for point in self._in_order())])

    def _in_order(self) -> tuple[RunPoint, ...]:
        return () if self._shown is None else self._shown.points

    def _across(self, point: RunPoint) -> tuple[float, float]:
        return point.across, point.number.value

    def _place_of_frame(self, frame: int) -> float | None:
        return None

    def _ask(self, point: RunPoint) -> None:
        self.run_requested.emit(point.run_id)

    def _draw_all(self) -> None:
        if self._shown is None:
            return
        theme = current_theme()
        self.heading.setText(_heading(self._shown, theme))
        _draw(self._plot, self._shown, theme, self)
        if self._current is not None:
            draw_ring(self._plot, *self._across(self._current), theme)


def _heading(shown: SeveralShown, theme: Theme) -> str:
    """What it is, and what its signs say."""
    entries = [
        entry(headed(shown.title, shown.unit)),
        entry(tr("a run, 95 %"), "\N{BLACK CIRCLE}"),
    ]
    if any(day.mean is not None for day in shown.days):
        entries.append(entry(tr("a day's mean"), "\N{EM DASH}"))
    if shown.held is not None:
        entries.append(entry(tr("shaded: no change counts in here")))
    return legend_line(theme, tuple(entries))


def _draw(plot: pg.PlotWidget, shown: SeveralShown, theme: Theme, chart: SeveralChart) -> None:
    quiet_axes(plot, theme, chart.font())
    first, last = shown.days[0].first - _BESIDE, shown.days[-1].last + _BESIDE
    ticks = [((day.first + day.last) / 2, day.name) for day in shown.days]
    plot.getAxis("bottom").setTicks([ticks])
    if shown.held is not None:
        fill = QColor(theme.outline)
        fill.setAlpha(_HELD_ALPHA)
        region = pg.LinearRegionItem(shown.held, "horizontal", brush=fill, pen=pg.mkPen(None), movable=False)
        plot.addItem(region, ignoreBounds=True)
    for place, day in enumerate(shown.days):
        colour = _colour(shown, place, theme)
        if day.mean is not None:
            ends = [day.first - _BESIDE, day.last + _BESIDE]
            plot.plot(ends, [day.mean.value] * 2, pen=pg.mkPen(colour, width=2))
        _points(plot, [point for point in shown.points if point.day == place], colour)
    up = [end for point in shown.points for end in (point.number.low, point.number.high)]
    up += shown.held or ()
    above = 0.08 * (max(up) - min(up)) + 1e-6
    plot.setRange(xRange=(first, last), yRange=(min(up) - above, max(up) + above), padding=0)


def _points(plot: pg.PlotWidget, some: list[RunPoint], colour: str) -> None:
    if not some:
        return
    x = np.array([point.across for point in some])
    y, low, high = (np.array([getattr(p.number, end) for p in some]) for end in ("value", "low", "high"))
    pen = pg.mkPen(colour, width=1.5)
    plot.addItem(pg.ErrorBarItem(x=x, y=y, top=high - y, bottom=y - low, beam=0, pen=pen))
    plot.addItem(pg.ScatterPlotItem(x, y, symbol="o", size=_SYMBOL_PX, pen=pen, brush=pg.mkBrush(colour)))


def _colour(shown: SeveralShown, day: int, theme: Theme) -> str:
    """Of the first and of the last day where their runs can be told apart, else grey."""
    if shown.told and day in (0, shown.last):
        return theme.upper if day == 0 else theme.lower
    return theme.outline
