"""How curves of posture are drawn: line and band, fainter where guessed, events as upright lines."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont

import pyqtgraph as pg  # isort: skip

from analysis.report.words import side_letter
from analysis.values.run import Side
from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.curves_shown import Choice, Curve, CurvePoint, CurvesShown, EventLine
from app.charts.ink import SYMBOLS, draw_ring, fill_between, side_colour
from app.charts.legend import entry, legend_line
from app.theme.apply import sized
from app.theme.tokens import Theme, Type

_SYMBOL_PX = 8
_BAND_ALPHA, _EVENT_ALPHA = 45, 110


def draw(
    plot: pg.PlotWidget,
    shown: CurvesShown,
    current: CurvePoint | None,
    theme: Theme,
    font: QFont,
    zero: float,
) -> None:
    """Draw everything but the playhead; what goes across counts from ``zero``."""
    quiet_axes(plot, theme, font)
    if shown.empty:
        return
    first, last = _ends(shown)
    for event in shown.events:
        _event(plot, event, theme, font, zero, last - 0.02 * (last - first))
    for curve in shown.curves:
        for rows in curve.stretches():
            _stretch(plot, curve, rows, theme, zero)
    for side in (None, Side.LEFT, Side.RIGHT):
        some = [p for p in shown.points if p.side is side]
        if some:
            _points(plot, some, theme, zero)
    if current is not None:
        draw_ring(plot, current.across - zero, current.number.value, theme)
    _range(plot, shown, zero)


def legend(theme: Theme, shown: CurvesShown, choice: Choice) -> str:
    """What the marks mean, as rich text."""
    sides = {curve.side for curve in shown.curves}
    units = tr("{unit} over metres") if choice.over_place else tr("{unit} over seconds")
    entries = [entry(units.format(unit=choice.unit.symbol))]
    if Side.LEFT in sides:
        entries.append(entry(tr("left"), "\N{BLACK SQUARE}", theme.left.text))
    if Side.RIGHT in sides:
        entries.append(entry(tr("right"), "\N{BLACK CIRCLE}", theme.right.text))
    entries.append(entry(tr("95 % band"), "\N{EM DASH}"))
    if any(curve.guessed.any() for curve in shown.curves):
        entries.append(entry(tr("guessed"), "\N{MIDDLE DOT}\N{MIDDLE DOT}\N{MIDDLE DOT}"))
    entries.append(entry(tr("touchdown"), "\N{BOX DRAWINGS LIGHT VERTICAL}"))
    entries.append(entry(tr("toe-off"), "\N{BOX DRAWINGS LIGHT TRIPLE DASH VERTICAL}"))
    return legend_line(theme, entries)


def _event(plot: pg.PlotWidget, event: EventLine, theme: Theme, font: QFont, zero: float, end: float) -> None:
    colour = QColor(theme.side(event.side).fill)
    colour.setAlpha(_EVENT_ALPHA)
    style = Qt.PenStyle.SolidLine if event.touchdown else Qt.PenStyle.DashLine
    line = pg.InfiniteLine(event.across - zero, angle=90, pen=pg.mkPen(colour, width=1, style=style))
    plot.addItem(line, ignoreBounds=True)
    if event.touchdown:
        side = (float(event.across > end), 0.0)  # at the end its name would be cut off at the right
        name = f"{side_letter(event.side)}{event.step}"
        label = pg.InfLineLabel(line, name, position=0.99, color=theme.muted, anchors=[side, side])
        label.setFont(sized(font, Type.CAPTION))


def _stretch(plot: pg.PlotWidget, curve: Curve, rows: slice, theme: Theme, zero: float) -> None:
    across, value, half = curve.across[rows] - zero, curve.value[rows], curve.half[rows]
    colour = side_colour(curve.side, theme)
    low, high = (pg.PlotCurveItem(across, value + way * half, pen=None) for way in (-1, 1))
    fill_between(plot, low, high, colour, _BAND_ALPHA)
    guessed = curve.guessed[rows]
    seen = np.where(guessed, np.nan, value)
    # a guess begins and ends on the frames beside it, so that the line has no gap
    beside = guessed | np.append(guessed[1:], False) | np.append(False, guessed[:-1])
    faint = np.where(beside, value, np.nan)
    plot.plot(across, seen, pen=pg.mkPen(colour, width=2), connect="finite")
    if guessed.any():
        dotted = pg.mkPen(colour, width=1.5, style=Qt.PenStyle.DotLine)
        plot.plot(across, faint, pen=dotted, connect="finite")


def _points(plot: pg.PlotWidget, some: list[CurvePoint], theme: Theme, zero: float) -> None:
    side = some[0].side
    colour = side_colour(side, theme)
    x = np.array([p.across - zero for p in some])
    y, low, high = (np.array([getattr(p.number, end) for p in some]) for end in ("value", "low", "high"))
    plot.addItem(
        pg.ErrorBarItem(x=x, y=y, top=high - y, bottom=y - low, beam=0, pen=pg.mkPen(colour, width=1))
    )
    brushes = [pg.mkBrush(colour if p.touchdown else theme.surface) for p in some]
    dots = {"symbol": SYMBOLS[side], "size": _SYMBOL_PX, "pen": pg.mkPen(colour, width=1.5)}
    plot.addItem(pg.ScatterPlotItem(x, y, brush=brushes, **dots))


def _ends(shown: CurvesShown) -> tuple[float, float]:
    across = np.concatenate([curve.across for curve in shown.curves])
    return float(across.min()), float(across.max())


def _range(plot: pg.PlotWidget, shown: CurvesShown, zero: float) -> None:
    first, last = _ends(shown)
    value = np.concatenate([curve.value for curve in shown.curves])
    low, high = float(value.min()), float(value.max())
    room, up = 0.03 * (last - first) + 1e-6, 0.08 * (high - low) + 1e-6
    names = 3 * up  # the steps' names stand above the curves
    plot.setRange(
        xRange=(first - zero - room, last - zero + room), yRange=(low - up, high + names), padding=0
    )
