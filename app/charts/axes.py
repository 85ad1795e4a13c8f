"""The axes of every chart: small quiet figures, a faint grid for the height."""

from __future__ import annotations

from PySide6.QtGui import QFont

import pyqtgraph as pg  # isort: skip

from app.theme.apply import sized
from app.theme.tokens import Theme, Type


def quiet_axes(plot: pg.PlotWidget, theme: Theme, font: QFont) -> None:
    """Empty a plot and dress its axes; figures are plain, never in thousandths."""
    plot.clear()
    plot.setBackground(theme.surface)
    small = sized(font, Type.CAPTION)
    for name in ("left", "bottom"):
        axis = plot.getAxis(name)
        axis.setTickFont(small)
        axis.setPen(pg.mkPen(theme.border))
        axis.setTextPen(pg.mkPen(theme.muted))
        axis.setTickPen(pg.mkPen(theme.border))
        axis.enableAutoSIPrefix(False)
    plot.showGrid(y=True, alpha=0.12)
