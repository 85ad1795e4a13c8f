"""How charts of two runs are drawn: the upper one full and filled, the lower one broken and hollow."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont

import pyqtgraph as pg  # isort: skip

from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.ink import draw_ring
from app.charts.legend import entry, legend_line
from app.compare.pair_shown import PairCurve, PairPoint, PairShown
from app.theme.tokens import Theme

_SYMBOL_PX = 8
_BAND_ALPHA = 38


def draw(plot: pg.PlotWidget, shown: PairShown, current: PairPoint | None, theme: Theme, font: QFont) -> None:
    """Draw everything but the playheads. What can't be told apart stays grey."""
    quiet_axes(plot, theme, font)
    if shown.ticks:
        plot.getAxis("bottom").setTicks([list(shown.ticks)])
    for curve in shown.curves:
        _curve(plot, curve, theme)
    for lower in (False, True):
        mine = [point for point in shown.points if point.lower is lower]
        if shown.ticks and mine:
            grey = pg.mkPen(theme.outline, width=1, style=_style(lower))
            plot.plot([p.across for p in mine], [p.number.value for p in mine], pen=grey)
        for told in (False, True):
            some = [point for point in mine if point.told is told]
            if some:
                _points(plot, some, theme)
    if current is not None:
        draw_ring(plot, current.across, current.number.value, theme)
    _range(plot, shown)


def legend(theme: Theme, names: tuple[str, str]) -> str:
    """Which run is which, as rich text."""
    entries = (
        entry(names[0], "\N{EM DASH} \N{BLACK CIRCLE}", theme.upper),
        entry(names[1], "- - \N{WHITE DIAMOND}", theme.lower),
        entry(tr("grey: can't be told apart")),
        entry(tr("bars and bands: 95 %")),
    )
    return legend_line(theme, entries)


def colour_of(point: PairPoint, theme: Theme) -> str:
    """Of its run where it is told apart, else grey."""
    if not point.told:
        return theme.outline
    return theme.lower if point.lower else theme.upper


def playhead_pen(theme: Theme, *, lower: bool) -> object:
    """Full for the upper film, broken for the lower one."""
    return pg.mkPen(theme.playhead, width=1, style=_style(lower))


def _style(lower: bool) -> Qt.PenStyle:
    return Qt.PenStyle.DashLine if lower else Qt.PenStyle.SolidLine


def _curve(plot: pg.PlotWidget, curve: PairCurve, theme: Theme) -> None:
    fill = QColor(theme.outline)
    fill.setAlpha(_BAND_ALPHA)
    for rows in _stretches(curve):
        across = curve.across[rows]
        low, high = (pg.PlotCurveItem(across, part[rows], pen=None) for part in (curve.low, curve.high))
        for item in (low, high, pg.FillBetweenItem(low, high, brush=pg.mkBrush(fill))):
            plot.addItem(item)
    plot.plot(
        curve.across,
        curve.value,
        connect="finite",
        pen=pg.mkPen(theme.muted, width=2, style=_style(curve.lower)),
    )


def _stretches(curve: PairCurve) -> list[slice]:
    known = np.isfinite(curve.value)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], known, [False])).astype(int)))
    return [slice(int(first), int(last)) for first, last in edges.reshape(-1, 2)]


def _points(plot: pg.PlotWidget, some: list[PairPoint], theme: Theme) -> None:
    colour, lower = colour_of(some[0], theme), some[0].lower
    x = np.array([p.across for p in some])
    y, low, high = (np.array([getattr(p.number, end) for p in some]) for end in ("value", "low", "high"))
    pen = pg.mkPen(colour, width=1.5 if some[0].told else 1)
    plot.addItem(pg.ErrorBarItem(x=x, y=y, top=high - y, bottom=y - low, beam=0, pen=pen))
    brush = pg.mkBrush(theme.surface if lower else colour)
    symbol = "d" if lower else "o"
    size = _SYMBOL_PX + (2 if lower else 0)
    plot.addItem(
        pg.ScatterPlotItem(x, y, symbol=symbol, size=size, pen=pg.mkPen(colour, width=1.5), brush=brush)
    )


def _range(plot: pg.PlotWidget, shown: PairShown) -> None:
    across = [p.across for p in shown.points] + [float(x) for c in shown.curves for x in _ends(c.across)]
    up = [end for p in shown.points for end in (p.number.low, p.number.high)]
    up += [float(y) for c in shown.curves for part in (c.low, c.high) for y in _ends(part)]
    if not across:
        return
    first, last, low, high = min(across), max(across), min(up), max(up)
    room, above = 0.03 * (last - first) + 1e-3, 0.08 * (high - low) + 1e-6
    bottom = low - above if low < 0 else max(0.0, low - above)
    plot.setRange(xRange=(first - room, last + room), yRange=(bottom, high + above), padding=0)


def _ends(values: np.ndarray) -> tuple[float, float]:
    return float(np.nanmin(values)), float(np.nanmax(values))
