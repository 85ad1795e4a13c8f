"""A drawing of a page on a sheet of the PDF."""

from __future__ import annotations

from analysis.report import page_charts
from analysis.report.bundled_fonts import BODY
from analysis.report.page_charts import Drawing, Whisker
from analysis.report.pdf_sheet import ACCENT, INK, LINE, POINT_MM, QUIET, Colour, Sheet

_BAND: Colour = (228, 221, 238)
_FLIGHT: Colour = (182, 190, 199)
_LETTERS = 21  # of the drawing's own units: as large as the least type where two stand side by side


class Sketch:
    """A drawing on the paper; ``unit``: millimetres for one of its own units."""

    def __init__(self, paper: Sheet, left: float, top: float, unit: float) -> None:
        self._paper, self._left, self._top, self._unit = paper, left, top, unit

    def draw(self, drawing: Drawing) -> None:
        """All of it, from back to front; the paper's own colours stay as they were."""
        with self._paper.local_context():
            self._draw(drawing)

    def _draw(self, drawing: Drawing) -> None:
        paper = self._paper
        self._axes(drawing)
        if drawing.band:
            paper.set_fill_color(*_BAND)
            paper.polygon([self._at(*place) for place in drawing.band], style="F")
        for bar in drawing.bars:
            paper.set_fill_color(*(ACCENT if bar.kind == "contact" else _FLIGHT))
            x, y = self._at(bar.x, bar.y)
            paper.rect(x, y, bar.width * self._unit, bar.height * self._unit, style="F")
            self._whisker(bar.whisker)
        if drawing.curve:
            paper.set_draw_color(*ACCENT)
            paper.set_line_width(2.5 * self._unit)
            paper.polyline([self._at(*place) for place in drawing.curve])
        for mark in drawing.marks:
            self._whisker(mark)
            x, y = self._at(mark.x, mark.y)
            paper.set_fill_color(*INK)
            paper.circle(x, y, 4 * self._unit, style="F")

    def _axes(self, drawing: Drawing) -> None:
        charts, paper = page_charts, self._paper
        paper.set_font(BODY, "", _LETTERS * self._unit / POINT_MM)
        paper.set_text_color(*QUIET)
        for tick in drawing.y_ticks:
            paper.set_draw_color(*LINE)
            paper.set_line_width(self._unit)
            right = charts.WIDTH - charts.RIGHT
            paper.line(*self._at(charts.LEFT, tick.at), *self._at(right, tick.at))
            self._text(charts.LEFT - 6, tick.at + charts.HALF, tick.words, 1.0)
        for tick in drawing.x_ticks:
            self._text(tick.at, charts.HEIGHT - charts.BOTTOM + charts.BELOW, tick.words, 0.5)
        self._text(charts.WIDTH - charts.RIGHT, charts.HEIGHT - 5, drawing.across, 1.0)
        self._text(charts.LEFT - 6, charts.ABOVE, drawing.up, 1.0)

    def _text(self, x: float, y: float, words: str, before: float) -> None:
        """``before``: which share of the words lies before the place."""
        left, base = self._at(x, y)
        self._paper.text(left - before * self._paper.get_string_width(words), base, words)

    def _whisker(self, one: Whisker) -> None:
        self._paper.set_draw_color(*INK)
        self._paper.set_line_width(1.5 * self._unit)
        self._paper.line(*self._at(one.x, one.low), *self._at(one.x, one.high))

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self._left + x * self._unit, self._top + y * self._unit
