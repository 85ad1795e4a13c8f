"""What every chart draws alike: a side's colour and shape, a band, a ring around what is chosen."""

from __future__ import annotations

from PySide6.QtGui import QColor

import pyqtgraph as pg  # isort: skip

from analysis.values.run import Side
from app.theme.tokens import Theme

SYMBOLS = {Side.LEFT: "s", Side.RIGHT: "o", None: "d"}
_RING_PX = 20


def side_colour(side: Side | None, theme: Theme) -> str:
    """Of a side; of the text for what has none."""
    return theme.text if side is None else theme.side(side).fill


def draw_ring(plot: pg.PlotWidget, across: float, up: float, theme: Theme) -> None:
    """Around the point that is chosen."""
    pen = pg.mkPen(theme.accent, width=2)
    plot.addItem(pg.ScatterPlotItem([across], [up], size=_RING_PX, brush=None, pen=pen))


def fill_between(
    plot: pg.PlotWidget,
    low: pg.PlotCurveItem | pg.PlotDataItem,
    high: pg.PlotCurveItem | pg.PlotDataItem,
    colour: str,
    alpha: int,
) -> None:
    """A band between its two edges, which are drawn too."""
    fill = QColor(colour)
    fill.setAlpha(alpha)
    for item in (low, high, pg.FillBetweenItem(low, high, brush=pg.mkBrush(fill))):
        plot.addItem(item)
