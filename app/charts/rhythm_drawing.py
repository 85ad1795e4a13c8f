"""How the rhythm chart is drawn: sides by colour and shape, grey what can't be told apart, breaks marked."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtGui import QFont

import pyqtgraph as pg  # isort: skip

from analysis.report.words import side_letter
from analysis.values.run import Side
from analysis.values.words import tr
from app.charts.axes import quiet_axes
from app.charts.ink import SYMBOLS, draw_ring
from app.charts.legend import entry, legend_line
from app.charts.rhythm_shown import TIMES, RhythmChoice, RhythmPoint
from app.theme.tokens import Theme

_SYMBOL_PX, _BREAK_PX = 8, 20
_ROOM = 0.1


def draw(
    plot: pg.PlotWidget,
    points: Sequence[RhythmPoint],
    choice: RhythmChoice,
    current: RhythmPoint | None,
    theme: Theme,
    font: QFont,
) -> None:
    """Draw everything but the playhead."""
    quiet_axes(plot, theme, font)
    for _, word in choice.measures:
        line = [p for p in points if p.measure == word]
        if line:
            grey = pg.mkPen(theme.outline, width=1)
            plot.plot([p.step for p in line], [p.shown.value for p in line], pen=grey)
    for told in (False, True):
        for side in Side:
            some = [p for p in points if p.told is told and p.side is side]
            colour = theme.side(side).fill if told else theme.outline
            _draw_some(plot, some, choice, colour, theme)
    _draw_breaks(plot, [p for p in points if p.breaks], theme)
    if current is not None:
        draw_ring(plot, current.step, current.shown.value, theme)
    _range(plot, points, choice)


def legend(theme: Theme, choice: RhythmChoice) -> str:
    """What the marks mean, as rich text."""
    signs = ("\N{BLACK SQUARE}\N{BLACK CIRCLE}", "\N{WHITE SQUARE}\N{WHITE CIRCLE}")
    several = len(choice.measures) > 1
    entries = (
        entry(tr("{unit}, bars 95 %").format(unit=choice.unit.symbol)),
        entry(tr("left"), "\N{BLACK SQUARE}", theme.left.text),
        entry(tr("right"), "\N{BLACK CIRCLE}", theme.right.text),
        *(entry(word, sign) for (_, word), sign in zip(choice.measures, signs, strict=False) if several),
        entry(tr("grey: not told apart")),
        entry(tr("break"), "\N{WHITE DIAMOND}", theme.warning),
    )
    return legend_line(theme, entries)


def _draw_some(
    plot: pg.PlotWidget, some: list[RhythmPoint], choice: RhythmChoice, colour: str, theme: Theme
) -> None:
    """Points of one side and one colour, with their intervals."""
    if not some:
        return
    x = np.array([float(p.step) for p in some])
    value, low, high = (np.array([getattr(p.shown, end) for p in some]) for end in ("value", "low", "high"))
    pen = pg.mkPen(colour, width=1)
    plot.addItem(pg.ErrorBarItem(x=x, y=value, top=high - value, bottom=value - low, beam=0.12, pen=pen))
    for place, (_, word) in enumerate(choice.measures):
        mine = [p for p in some if p.measure == word]
        dots = pg.ScatterPlotItem(
            [p.step for p in mine],
            [p.shown.value for p in mine],
            symbol=SYMBOLS[some[0].side],
            size=_SYMBOL_PX,
            pen=pg.mkPen(colour, width=2),
            brush=pg.mkBrush(theme.surface if place else colour),
        )
        plot.addItem(dots)


def _draw_breaks(plot: pg.PlotWidget, broken: list[RhythmPoint], theme: Theme) -> None:
    """A diamond around each number that goes against the rhythm."""
    if broken:
        places = [p.step for p in broken], [p.shown.value for p in broken]
        pen = pg.mkPen(theme.warning, width=2)
        plot.addItem(pg.ScatterPlotItem(*places, symbol="d", size=_BREAK_PX, brush=None, pen=pen))


def _range(plot: pg.PlotWidget, points: Sequence[RhythmPoint], choice: RhythmChoice) -> None:
    """Times from 0, so that their shares show; else from a little below the lowest."""
    sides = {p.step: p.side for p in points}
    plot.getAxis("bottom").setTicks([[(step, f"{step} {side_letter(side)}") for step, side in sides.items()]])
    if not points:
        return
    low, high = min(p.shown.low for p in points), max(p.shown.high for p in points)
    room = _ROOM * (high - low)
    bottom = min(0.0, low) if choice is TIMES else low - room
    plot.setRange(xRange=(min(sides) - 0.5, max(sides) + 0.5), yRange=(bottom, high + room), padding=0)
