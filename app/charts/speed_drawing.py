"""How the speed chart is drawn: curve and band, steps as dashes with a symbol, places as diamonds."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont

import pyqtgraph as pg  # isort: skip

from analysis.values.reading import SpeedBand
from analysis.values.run import Side
from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.ink import SYMBOLS, draw_ring, fill_between, side_colour
from app.charts.legend import entry, legend_line
from app.charts.speed_shown import SpeedPoint, SpeedShown
from app.theme.tokens import Theme

_SYMBOL_PX = 9
_BAND_ALPHA = 60


def draw(
    plot: pg.PlotWidget,
    shown: SpeedShown,
    current: SpeedPoint | None,
    theme: Theme,
    font: QFont,
    zero_s: float,
    *,
    over_distance: bool,
) -> None:
    """Draw everything but the playhead. Times on the axis count from ``zero_s``."""
    quiet_axes(plot, theme, font)
    if shown.empty:
        return
    if shown.band is not None:
        _curve(plot, shown.band, theme, zero_s, over_distance=over_distance)
    for tick in shown.ticks:
        _tick(plot, tick.at_m, tick.at_m if over_distance else tick.at_s - zero_s, theme)
    for side in (Side.LEFT, Side.RIGHT, None):
        some = [p for p in shown.points if p.side is side]
        if some:
            _points(plot, some, side, theme, zero_s, over_distance=over_distance)
    if current is not None:
        at = _across(current, zero_s, over_distance=over_distance)
        draw_ring(plot, at, current.number.value, theme)
    _range(plot, shown, zero_s, over_distance=over_distance)


def legend(theme: Theme) -> str:
    """What the marks mean, as rich text."""
    entries = (
        entry(tr("m/s")),
        entry(tr("whole run, with its 95 % band"), "\N{EM DASH}"),
        entry(tr("step, left"), "\N{BLACK SQUARE}", theme.left.text),
        entry(tr("step, right"), "\N{BLACK CIRCLE}", theme.right.text),
        entry(tr("nearby steps"), "\N{BLACK DIAMOND}"),
        entry(tr("bars: 95 % interval")),
    )
    return legend_line(theme, entries)


def _curve(plot: pg.PlotWidget, band: SpeedBand, theme: Theme, zero_s: float, *, over_distance: bool) -> None:
    across = np.array(band.x_m) if over_distance else np.array(band.time_s) - zero_s
    edge = pg.mkPen(theme.outline, width=1, style=Qt.PenStyle.DotLine)
    low = pg.PlotDataItem(across, np.array(band.low_m_s), pen=edge)
    high = pg.PlotDataItem(across, np.array(band.high_m_s), pen=edge)
    fill_between(plot, low, high, theme.outline, _BAND_ALPHA)
    plot.plot(across, np.array(band.v_m_s), pen=pg.mkPen(theme.text, width=2))


def _tick(plot: pg.PlotWidget, x_m: float, at: float, theme: Theme) -> None:
    line = pg.InfiniteLine(
        at,
        angle=90,
        pen=pg.mkPen(theme.muted, width=1, style=Qt.PenStyle.DashLine),
        label=tr("{x:g} m").format(x=x_m),
        labelOpts={
            "position": 0.06,
            "color": theme.muted,
            "fill": theme.surface,
            "anchors": [(0, 1), (0, 1)],
        },
    )
    plot.addItem(line, ignoreBounds=True)


def _points(
    plot: pg.PlotWidget,
    some: list[SpeedPoint],
    side: Side | None,
    theme: Theme,
    zero_s: float,
    *,
    over_distance: bool,
) -> None:
    colour = side_colour(side, theme)
    x = np.array([_across(p, zero_s, over_distance=over_distance) for p in some])
    y, low, high = (np.array([getattr(p.number, end) for p in some]) for end in ("value", "low", "high"))
    half = np.array([p.half_m if over_distance else p.half_s for p in some])
    bars = {"top": high - y, "bottom": y - low, "left": half, "right": half}
    plot.addItem(pg.ErrorBarItem(x=x, y=y, beam=0, pen=pg.mkPen(colour, width=1), **bars))
    dots = pg.ScatterPlotItem(
        x,
        y,
        symbol=SYMBOLS[side],
        size=_SYMBOL_PX + (3 if side is None else 0),
        pen=pg.mkPen(theme.surface, width=1),
        brush=pg.mkBrush(colour),
    )
    plot.addItem(dots)


def _range(plot: pg.PlotWidget, shown: SpeedShown, zero_s: float, *, over_distance: bool) -> None:
    band = shown.band
    across = [_across(p, zero_s, over_distance=over_distance) for p in shown.points]
    tops = [p.number.high for p in shown.points]
    if band is not None:
        ends = (band.x_m[0], band.x_m[-1]) if over_distance else (band.time_s[0], band.time_s[-1])
        across += [end - (0.0 if over_distance else zero_s) for end in ends]
        tops += band.high_m_s
    room = 0.03 * max(max(across) - min(across), 0.1)
    plot.setRange(xRange=(min(across) - room, max(across) + room), yRange=(0.0, max(tops) * 1.05), padding=0)


def _across(point: SpeedPoint, zero_s: float, *, over_distance: bool) -> float:
    return point.at_m if over_distance else point.at_s - zero_s
