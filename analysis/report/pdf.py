"""A page as PDF: the same blocks as in HTML, on A4, with its type inside the file."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from fpdf.fonts import FontFace
from fpdf.prefs import ViewerPreferences

from analysis.report import page_charts
from analysis.report.bundled_fonts import BODY, LACKING
from analysis.report.content import (
    Block,
    Bullets,
    Charts,
    Contents,
    Facts,
    Heading,
    Look,
    Page,
    Pictures,
    Table,
    Words,
)
from analysis.report.page_charts import Drawing, Whisker
from analysis.report.pdf_type import add_type, bold_type, close_type, isolated, shown
from analysis.report.told import Tile
from analysis.values.words import tr

Colour = tuple[int, int, int]
_INK: Colour = (24, 34, 44)
_QUIET: Colour = (80, 93, 106)
_LINE: Colour = (207, 214, 221)
_ACCENT: Colour = (107, 63, 160)
_BAND: Colour = (228, 221, 238)
_FLIGHT: Colour = (182, 190, 199)
_MARGIN_MM = 14.0
_SCALES = (1.0, 0.92, 0.85, 0.78, 0.72, 0.66)
"""Sizes of type that are tried until a page that is meant for one sheet fits on it."""
_POINT_MM = 25.4 / 72
_TILES_ACROSS = 6
_TILE_GAP_MM = 3.0
_LEAST_PT = 5.6
_TABLE_PT = (8.5, 7.8, 7.2)
"""Of tables: smaller is no reading, so that numbers break into lines before their ± instead."""
_FIXED = "\N{NO-BREAK SPACE}"
_SHORT = 9
_WAY_MM = 5.0  # from one of the contents to the next
_PAD_MM = 1.3  # at either side of a cell
_HEAVY = (Look.VERDICT, Look.DEPARTS)
_GAPS = tr("Where there is no number:")


def as_pdf(page: Page) -> bytes:
    """The page as PDF. A compact one is set smaller until it fits on one sheet, if it can be."""
    scales = _SCALES if page.compact else _SCALES[:1]
    with bold_type(_heavy_words(page)) as bold:
        for scale in scales:
            paper = _Paper(page, scale, bold)
            try:
                if paper.pages_count <= 1 or scale == scales[-1]:
                    return bytes(paper.output())
            finally:
                close_type(paper)
    raise AssertionError("one of the scales is the last")


def _heavy_words(page: Page) -> Iterator[str]:
    """Words that are set in bold, with all that may stand for their signs."""
    yield f" ·{LACKING}{_GAPS}"
    yield from page.heading
    for block in page.blocks:
        match block:
            case Heading():
                yield from (block.text, block.own)
            case Words():
                yield from (block.lead, block.text if block.look in _HEAVY else "")


class _Paper(FPDF):
    """Writes a page as it is made; ``scale``: of all type."""

    def __init__(self, page: Page, scale: float, bold: Mapping[str, Path]) -> None:
        super().__init__(format="A4")
        self._scale = scale
        self._lacking = False
        self._ways: dict[str, int] = {}
        self._wide: Callable[[str], float] = self.get_string_width
        self.set_margin(_MARGIN_MM)
        self.set_auto_page_break(True, margin=_MARGIN_MM + 4)
        add_type(self, bold)
        self._title = self._told(" · ".join(map(isolated, page.heading)))
        self.set_title(page.title)
        self.set_lang("en")
        self.viewer_preferences = ViewerPreferences(display_doc_title=True)
        self.add_page()
        self._write_page(page)

    def footer(self) -> None:
        """What it is and which sheet of it."""
        self.set_y(-_MARGIN_MM)
        self._dress(7, _QUIET)
        self.cell(0, 4, f"{self._title} · {self.page_no()}/{{nb}}", align="R")

    def _write_page(self, page: Page) -> None:
        self._dress(17)
        self._paragraph(self._title, heavy=True)
        self._facts(page.facts)
        self.set_draw_color(*_INK)
        self.set_line_width(0.6)
        self.line(self.l_margin, self.get_y() + 1, self.w - self.r_margin, self.get_y() + 1)
        self.ln(4 * self._scale)
        for block, following in zip(page.blocks, (*page.blocks[1:], None), strict=True):
            match block:
                case Heading():
                    self._heading(block, following)
                case Words():
                    self._words(block)
                case Bullets():
                    self._bullets(block)
                case Facts():
                    self._facts(block)
                case Table():
                    self._table(block)
                case Contents():
                    self._contents(block)
                case Charts():
                    self._charts(block)
                case Pictures():
                    self._pictures(block.tiles)
        if self._lacking:
            words = tr("� stands for a sign that the type of this PDF does not have; the HTML page shows it.")
            self._words(Words(words, Look.QUIET))

    # words

    def _told(self, text: str) -> str:
        found, lacking = shown(self, text)
        self._lacking |= lacking
        return found

    def _dress(self, points: float, colour: Colour = _INK) -> None:
        self.set_font(BODY, "", max(_LEAST_PT, points * self._scale))
        self.set_text_color(*colour)

    @property
    def _leading(self) -> float:
        return float(self.font_size_pt) * _POINT_MM * 1.35

    def _paragraph(self, text: str, *, lead: str = "", heavy: bool = False, indent: float = 0.0) -> None:
        self.set_x(self.l_margin + indent)
        if lead:
            self.set_font(style="B")
            self.write(self._leading, self._told(f"{lead} "))
            self.set_font(style="")
            self.write(self._leading, self._told(text))
            self.ln(self._leading)
            return
        self.set_font(style="B" if heavy else "")
        self._lines(text)
        self.set_font(style="")

    def _lines(self, text: str) -> None:
        width = self.w - self.r_margin - self.x
        self.multi_cell(
            width, self._leading, self._told(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT
        )

    def _heading(self, block: Heading, following: Block | None) -> None:
        pictures = self._row_room(following.tiles[:_TILES_ACROSS]) if isinstance(following, Pictures) else 0.0
        self._dress(12.5 if block.level == 2 else 10)
        room = max(self._leading * (7 if block.level == 2 else 6), 3 * self._leading + pictures)
        if self.get_y() + room > self.page_break_trigger:
            self.add_page()
        self.ln((3.5 if block.level == 2 else 1.5) * self._scale)
        self.start_section(block.words, block.level - 2, strict=False)
        if block.anchor in self._ways:
            self.set_link(self._ways[block.anchor], self.get_y(), page=self.page)
        self._paragraph(f"{block.text} {isolated(block.own)}".strip(), heavy=True)
        if block.level == 2:
            self.set_draw_color(*_LINE)
            self.set_line_width(0.2)
            self.line(self.l_margin, self.get_y(), self.w - self.r_margin, self.get_y())
        self.ln(0.8 * self._scale)

    def _contents(self, block: Contents) -> None:
        """The headings in a row; each leads to its place."""
        self._dress(9.5, _ACCENT)
        for heading in block.headings:
            self._ways[heading.anchor] = way = self.add_link()
            words = self._told(heading.words)
            width = self._wide(words) + _WAY_MM
            if self.x + width - _WAY_MM > self.w - self.r_margin:
                self.ln(1.15 * self._leading)
            self.cell(width, self._leading, words, link=way)
        self.ln(1.6 * self._leading)

    def _words(self, block: Words) -> None:
        size = {Look.QUIET: 8.0, Look.FIRST: 12.0}.get(block.look, 9.5)
        colour = {Look.QUIET: _QUIET, Look.DEPARTS: _ACCENT}.get(block.look, _INK)
        self._dress(size, colour)
        top, sheet = self.get_y(), self.page
        first = block.look is Look.FIRST
        self._paragraph(block.text, lead=block.lead, heavy=block.look in _HEAVY, indent=4 if first else 0)
        if first and self.page == sheet:
            self.set_draw_color(*_ACCENT)
            self.set_line_width(1)
            self.line(self.l_margin + 1, top + 0.5, self.l_margin + 1, self.get_y())
        self.ln(1 * self._scale)

    def _bullets(self, block: Bullets) -> None:
        self._dress(8 if block.quiet else 9.5, _QUIET if block.quiet else _INK)
        for words in block.items:
            self.set_x(self.l_margin + 1)
            self.cell(4, self._leading, "•")
            self._lines(words)
        self.ln(1 * self._scale)

    def _facts(self, block: Facts) -> None:
        if not block.rows:
            return
        self._dress(9)
        names = [self._told(row.name) for row in block.rows]
        column = min(max(map(self._wide, names)) + 4, self.epw * 0.4)
        for name, row in zip(names, block.rows, strict=True):
            if self.get_y() + self._leading > self.page_break_trigger:
                self.add_page()
            top = self.get_y()
            self._dress(9, _QUIET)
            at = (XPos.RIGHT, YPos.TOP)
            self.multi_cell(column, self._leading, name, align="L", new_x=at[0], new_y=at[1])
            self.set_xy(self.l_margin + column, top)
            self._dress(9)
            self._lines(row.number.text)
            if row.note:
                self.set_x(self.l_margin + column)
                self._dress(8, _QUIET)
                self._lines(row.note)
        self.ln(1 * self._scale)

    # tables

    def _table(self, block: Table) -> None:
        head = [self._told(words) for words in (block.corner, *block.head)]
        texts = ((line.name, *(number.text for number in line.numbers)) for line in block.lines)
        rows = [[self._told(text).replace("± ", f"±{_FIXED}") for text in row] for row in texts]
        size, widths = self._columns(head, rows)
        self._dress(size)
        self.set_draw_color(*_LINE)
        self.set_line_width(0.15)
        style = FontFace(color=_QUIET, emphasis="")
        with self.table(
            col_widths=tuple(widths),
            width=min(sum(widths), self.epw),
            align="L",
            text_align=("LEFT", *("RIGHT" if look == "number" else "LEFT" for look in block.looks)),
            headings_style=style,
            borders_layout="HORIZONTAL_LINES",
            line_height=self._leading,
            padding=(0.3, _PAD_MM),
        ) as table:
            for row in (head, *rows):
                table.row(row)
        if block.reasons:
            self.ln(1)
            self._words(Words(" ".join(block.reasons), Look.QUIET, _GAPS))
        self.ln(1 * self._scale)

    def _columns(self, head: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[float, list[float]]:
        """The size of type and widths with which a table fits the sheet; wide words break into lines."""
        room = 2 * _PAD_MM + 0.6
        for size in _TABLE_PT:
            self._dress(size)
            natural = [
                max([self._wide(row[n]) for row in rows] + [self._headed(head[n])]) + room
                for n in range(len(head))
            ]
            if sum(natural) <= self.epw:
                return size, natural
        least = [
            max([self._longest_word(row[n]) for row in rows] + [self._longest_word(head[n])]) + room
            for n in range(len(head))
        ]
        left = self.epw - sum(least)
        more = [max(0.0, wish - need) for wish, need in zip(natural, least, strict=True)]
        if left <= 0:
            return size, [need * self.epw / sum(least) for need in least]
        share = min(1.0, left / sum(more)) if sum(more) else 0.0
        return size, [need + share * extra for need, extra in zip(least, more, strict=True)]

    def _headed(self, text: str) -> float:
        """A short header stays in one line, a long one may break."""
        return self._wide(text) if len(text) <= _SHORT else self._longest_word(text)

    def _longest_word(self, text: str) -> float:
        return max((self._wide(word) for word in text.split(" ")), default=0.0)

    # drawings

    def _charts(self, block: Charts) -> None:
        gap = 6.0
        width = min((self.epw - gap) / 2, 100.0)
        height = width * page_charts.HEIGHT / page_charts.WIDTH
        if self.get_y() + height + 12 > self.page_break_trigger:
            self.add_page()
        top, bottom = self.get_y() + 1, 0.0
        for place, drawing in enumerate(block.drawings):
            left = self.l_margin + (place % 2) * (width + gap)
            if place and place % 2 == 0:
                top = bottom + 2
            _Sketch(self, left, top, width / page_charts.WIDTH).draw(drawing)
            self.set_xy(left, top + height + 1)
            self._dress(7.5)
            text = self._told(drawing.caption)
            self.multi_cell(width, self._leading, text, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
            bottom = max(bottom, self.get_y())
        self.set_xy(self.l_margin, bottom + 2)

    @property
    def _tile_width(self) -> float:
        return (float(self.epw) - _TILE_GAP_MM * (_TILES_ACROSS - 1)) / _TILES_ACROSS

    def _row_room(self, row: Sequence[Tile]) -> float:
        """How high a row of pictures with its words is, mm; its words' type is at hand from then on."""
        self._dress(7)
        lines = 1 + max((len(tile.angles) for tile in row), default=0)
        high = max((self._tile_width * _ratio(tile) for tile in row), default=0.0)
        return high + 1.6 * lines * self._leading

    def _pictures(self, tiles: Sequence[Tile]) -> None:
        width = self._tile_width
        for start in range(0, len(tiles), _TILES_ACROSS):
            row = tiles[start : start + _TILES_ACROSS]
            heights = [width * _ratio(tile) for tile in row]
            if self.get_y() + self._row_room(row) > self.page_break_trigger:
                self.add_page()
            top, bottom = self.get_y() + 1, 0.0
            for place, (tile, high) in enumerate(zip(row, heights, strict=True)):
                left = self.l_margin + place * (width + _TILE_GAP_MM)
                self.image(io.BytesIO(tile.jpeg), left, top, width, high, alt_text=self._told(tile.title))
                self.set_xy(left, top + max(heights) + 0.5)
                words = self._told("\n".join((tile.title, *tile.angles)))
                self.multi_cell(width, self._leading, words, align="L", new_y=YPos.NEXT)
                bottom = max(bottom, self.get_y())
            self.set_xy(self.l_margin, bottom + 1)


class _Sketch:
    """A drawing on the paper; ``unit``: millimetres for one of its own units."""

    def __init__(self, paper: _Paper, left: float, top: float, unit: float) -> None:
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
            paper.set_fill_color(*(_ACCENT if bar.kind == "contact" else _FLIGHT))
            x, y = self._at(bar.x, bar.y)
            paper.rect(x, y, bar.width * self._unit, bar.height * self._unit, style="F")
            self._whisker(bar.whisker)
        if drawing.curve:
            paper.set_draw_color(*_ACCENT)
            paper.set_line_width(2.5 * self._unit)
            paper.polyline([self._at(*place) for place in drawing.curve])
        for mark in drawing.marks:
            self._whisker(mark)
            x, y = self._at(mark.x, mark.y)
            paper.set_fill_color(*_INK)
            paper.circle(x, y, 4 * self._unit, style="F")

    def _axes(self, drawing: Drawing) -> None:
        charts, paper = page_charts, self._paper
        paper.set_font(BODY, "", 13 * self._unit / _POINT_MM)
        paper.set_text_color(*_QUIET)
        for tick in drawing.y_ticks:
            paper.set_draw_color(*_LINE)
            paper.set_line_width(self._unit)
            right = charts.WIDTH - charts.RIGHT
            paper.line(*self._at(charts.LEFT, tick.at), *self._at(right, tick.at))
            self._text(charts.LEFT - 6, tick.at + 4, tick.words, 1.0)
        for tick in drawing.x_ticks:
            self._text(tick.at, charts.HEIGHT - charts.BOTTOM + 17, tick.words, 0.5)
        self._text(charts.WIDTH - charts.RIGHT, charts.HEIGHT - 5, drawing.across, 1.0)
        self._text(charts.LEFT - 6, 12, drawing.up, 1.0)

    def _text(self, x: float, y: float, words: str, before: float) -> None:
        """``before``: which share of the words lies before the place."""
        left, base = self._at(x, y)
        self._paper.text(left - before * self._paper.get_string_width(words), base, words)

    def _whisker(self, one: Whisker) -> None:
        self._paper.set_draw_color(*_INK)
        self._paper.set_line_width(1.5 * self._unit)
        self._paper.line(*self._at(one.x, one.low), *self._at(one.x, one.high))

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self._left + x * self._unit, self._top + y * self._unit


def _ratio(tile: Tile) -> float:
    from PIL import Image

    width, height = Image.open(io.BytesIO(tile.jpeg)).size
    return height / width
