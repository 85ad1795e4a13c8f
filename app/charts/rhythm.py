"""Contact and flight time by step, with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QLabel, QStackedLayout, QVBoxLayout, QWidget

# after PySide6: pyqtgraph takes the binding that is loaded already
import pyqtgraph as pg  # isort: skip

from analysis.report.shifts import CONTACT, FLIGHT, shifts_of
from analysis.report.words import MILLISECONDS, side_letter, side_word, spoken
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading, StepReading
from analysis.values.run import Side
from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.ink import SYMBOLS, draw_ring
from app.charts.legend import entry, legend_line
from app.charts.point_chart import PointChart
from app.theme.apply import current_theme
from app.theme.tokens import Space, Theme

_SYMBOL_PX = 8


@dataclass(frozen=True)
class RhythmPoint:
    """One step's contact or flight time on the chart, in ms. ``frame``: where it begins on the film;
    ``shift``: how it stands to the step before, in a sentence.
    """

    step: int
    side: Side
    measure: str
    number: Estimate
    frame: int | None
    shift: str = ""

    @property
    def words(self) -> str:
        """The point as a sentence."""
        name = tr("Step {step}, {side}, {measure}").format(
            step=self.step, side=side_word(self.side), measure=self.measure
        )
        return ". ".join(filter(None, (spoken(name, self.number, MILLISECONDS), self.shift)))

    @property
    def value_ms(self) -> float:
        """Height on the chart."""
        return self.number.value * MILLISECONDS.factor


def rhythm_points(reading: Reading | None) -> tuple[RhythmPoint, ...]:
    """What the chart shows: every contact and flight time that could be read."""
    out: list[RhythmPoint] = []
    shifts = shifts_of(reading)
    for step in reading.steps if reading else ():
        for field, measure, result, frame in _measures(step):
            if isinstance(result, Estimate):
                shift = shifts.get((field, step.step))
                words = shift.sentence if shift is not None else ""
                out.append(RhythmPoint(step.step, step.side, measure, result, frame, words))
    return tuple(out)


def _measures(step: StepReading) -> tuple[tuple[str, str, object, int | None], ...]:
    touchdown = None if step.touchdown is None else int(step.touchdown)
    toe_off = None if step.toe_off is None else int(step.toe_off)
    return (
        (CONTACT, tr("contact"), step.contact_s, touchdown),
        (FLIGHT, tr("flight"), step.flight_s, toe_off),
    )


class RhythmChart(PointChart[RhythmPoint]):
    """Steps across, milliseconds up: contact filled, flight hollow; sides by colour and shape.

    The frame of a point is the touchdown of its contact, or the toe-off of its flight. The playhead is on a
    step's column at its touchdown and half-way to the next one half-way between both touchdowns.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        name = tr("Rhythm: contact and flight time by step")
        super().__init__(name, tr("Chart of contact and flight time"), parent)
        self._points: tuple[RhythmPoint, ...] = ()
        self._columns: tuple[list[int], list[float]] = ([], [])
        self._legend = QLabel(self)
        self._legend.setTextFormat(Qt.TextFormat.RichText)
        self._legend.setWordWrap(True)
        self._empty = QLabel(tr("Mark two footfalls to see contact and flight time by step."), self)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setWordWrap(True)
        self._empty.setProperty("role", "caption")
        chart = QWidget(self)
        for page in (chart, self._empty):
            page.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        chart.setProperty("role", "panel")
        column = QVBoxLayout(chart)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.WIDE, Space.TIGHT)
        column.setSpacing(Space.TIGHT)
        column.addWidget(self._legend)
        column.addWidget(self._plot, 1)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._empty)
        self._pages.addWidget(chart)
        self.show_reading(None)

    def show_reading(self, reading: Reading | None) -> None:
        """Show contact and flight time of a reading's steps."""
        self._points = rhythm_points(reading)
        self._columns = _columns(reading)
        kept = [p for p in self._points if self._current and _same(p, self._current)]
        self._current = kept[0] if kept else None
        self._pages.setCurrentIndex(1 if self._points else 0)
        self.setAccessibleDescription(self.text_alternative())
        self._draw()

    def text_alternative(self) -> str:
        """The chart in sentences, one a point."""
        if not self._points:
            return self._empty.text()
        return "\n".join(point.words for point in self._points)

    def place_of(self, step: int, measure: str) -> QPointF:
        """Where a point stands on the plot's viewport, in pixels. Raises KeyError where there is none."""
        point = next((p for p in self._points if (p.step, p.measure) == (step, measure)), None)
        if point is None:
            raise KeyError(step, measure)
        return self._pixel(*self._across(point))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseMove:
            near = self._near(event.position())
            shape = Qt.CursorShape.PointingHandCursor if near else Qt.CursorShape.ArrowCursor
            self._plot.viewport().setCursor(shape)
        return super().eventFilter(watched, event)

    def _draw(self) -> None:
        if not self.isVisible():
            return  # drawn when it comes to sight
        theme = current_theme()
        self._axes(theme)
        self._legend.setText(_legend(theme))
        if self._points:
            self._draw_points(theme)
        self._add_playhead()

    def _draw_points(self, theme: Theme) -> None:
        for measure in (tr("contact"), tr("flight")):
            line = sorted((p.step, p.value_ms) for p in self._points if p.measure == measure)
            self._plot.plot([x for x, _ in line], [y for _, y in line], pen=pg.mkPen(theme.outline, width=1))
        for side in Side:
            self._draw_side(side, theme)
        if self._current is not None:
            draw_ring(self._plot, self._current.step, self._current.value_ms, theme)

    def _draw_side(self, side: Side, theme: Theme) -> None:
        colour = theme.side(side).fill
        mine = [p for p in self._points if p.side is side]
        if not mine:
            return
        value, low, high = (np.array(numbers) for numbers in zip(*map(_heights, mine), strict=True))
        bars = pg.ErrorBarItem(
            x=np.array([float(p.step) for p in mine]),
            y=value,
            top=high - value,
            bottom=value - low,
            beam=0.12,
            pen=pg.mkPen(colour, width=1),
        )
        self._plot.addItem(bars)
        for measure, filled in ((tr("contact"), True), (tr("flight"), False)):
            some = [p for p in mine if p.measure == measure]
            dots = pg.ScatterPlotItem(
                [p.step for p in some],
                [p.value_ms for p in some],
                symbol=SYMBOLS[side],
                size=_SYMBOL_PX,
                pen=pg.mkPen(colour, width=2),
                brush=pg.mkBrush(colour if filled else theme.surface),
            )
            self._plot.addItem(dots)

    def _axes(self, theme: Theme) -> None:
        quiet_axes(self._plot, theme, self.font())
        bottom = self._plot.getAxis("bottom")
        sides = {p.step: p.side for p in self._points}
        bottom.setTicks([[(step, f"{step} {side_letter(side)}") for step, side in sides.items()]])
        if self._points:
            top = max(p.number.high for p in self._points) * 1000
            bottom_ms = min(0.0, min(p.number.low for p in self._points) * 1000)
            self._plot.setRange(
                xRange=(min(sides) - 0.5, max(sides) + 0.5), yRange=(bottom_ms, top * 1.05), padding=0
            )

    def _place_of_frame(self, frame: int) -> float | None:
        frames, columns = self._columns
        if not self._points or not frames or not frames[0] <= frame <= frames[-1]:
            return None
        return float(np.interp(frame, frames, columns))

    def _in_order(self) -> tuple[RhythmPoint, ...]:
        return self._points

    def _across(self, point: RhythmPoint) -> tuple[float, float]:
        return point.step, point.value_ms


def _columns(reading: Reading | None) -> tuple[list[int], list[float]]:
    """Frames and the steps' columns on which the playhead stands there; on the last one until its toe-off."""
    steps = reading.steps if reading else ()
    places = [(int(step.touchdown), float(step.step)) for step in steps if step.touchdown is not None]
    if steps and steps[-1].touchdown is not None and steps[-1].toe_off is not None:
        places.append((int(steps[-1].toe_off), float(steps[-1].step)))
    return [frame for frame, _ in places], [column for _, column in places]


def _heights(point: RhythmPoint) -> tuple[float, float, float]:
    """Value and ends of its interval, ms."""
    number = point.number.scaled(MILLISECONDS.factor)
    return number.value, number.low, number.high


def _same(one: RhythmPoint, other: RhythmPoint) -> bool:
    return (one.step, one.measure) == (other.step, other.measure)


def _legend(theme: Theme) -> str:
    entries = (
        entry(tr("ms by step")),
        entry(tr("left"), "\N{BLACK SQUARE}", theme.left.text),
        entry(tr("right"), "\N{BLACK CIRCLE}", theme.right.text),
        entry(tr("contact"), "\N{BLACK SQUARE}\N{BLACK CIRCLE}"),
        entry(tr("flight"), "\N{WHITE SQUARE}\N{WHITE CIRCLE}"),
        entry(tr("bars: 95 % interval")),
    )
    return legend_line(theme, entries)
