"""A page as PDF: the same blocks as in HTML, on A4, with its type inside the file."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from fpdf.enums import XPos, YPos
from fpdf.prefs import ViewerPreferences

from analysis.report import page_charts
from analysis.report.bundled_fonts import LACKING
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
from analysis.report.pdf_sheet import ACCENT, INK, LEAST_PT, LINE, MARGIN_MM, QUIET, SHEETS, Sheet
from analysis.report.pdf_sketch import Sketch
from analysis.report.pdf_table import write_table
from analysis.report.pdf_type import bold_type, close_type, isolated
from analysis.report.told import Tile
from analysis.values.words import tr

_SCALES = (1.0, 0.96, 0.92, 0.85, 0.78, 0.72, 0.66)
"""Sizes of type that are tried until a page that is meant for one sheet fits on it."""
_FEW_SCALES = 3
"""So many of them are tried where the last sheet of a longer page would hold hardly anything."""
_HARDLY_MM = 60.0
_FEW_LINES = 6
_TILES_ACROSS = 6
_TILE_GAP_MM = 3.0
_WAY_MM = 5.0  # from one of the contents to the next
_HEAVY = (Look.VERDICT, Look.DEPARTS)
_GAPS = tr("Where there is no number:")


def as_pdf(page: Page) -> bytes:
    """The page as PDF. A compact one is set smaller until it fits on one sheet, if it can be; a longer one a
    little smaller, where that spares a sheet with hardly anything on it.
    """
    scales = _SCALES if page.compact else _SCALES[:_FEW_SCALES]
    first: bytes | None = None
    with bold_type(_heavy_words(page)) as bold:
        for scale in scales:
            paper = _Paper(page, scale, bold)
            try:
                done, made = paper.well_filled, bytes(paper.output())
            finally:
                close_type(paper)
            first = made if first is None or page.compact else first
            if done:
                return made
    assert first is not None
    return first


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


class _Paper(Sheet):
    """Writes a page as it is made; ``scale``: of all type."""

    def __init__(self, page: Page, scale: float, bold: Mapping[str, Path]) -> None:
        super().__init__(scale, bold)
        self._page = page
        self._ways: dict[str, int] = {}
        self._title = self.told(" · ".join(map(isolated, page.heading)))
        self.set_title(page.title)
        self.set_lang("en")
        self.viewer_preferences = ViewerPreferences(display_doc_title=True)
        self.add_page()
        self._write_page(page)
        self._end = self.get_y()

    @property
    def well_filled(self) -> bool:
        """Whether a compact page takes one sheet, and any other no sheet for a few lines."""
        if self._page.compact:
            return bool(self.pages_count <= 1)
        return bool(self.pages_count == 1 or self._end > _HARDLY_MM)

    def footer(self) -> None:
        """What it is and which sheet of it."""
        self.set_y(-MARGIN_MM)
        self.dress(LEAST_PT, QUIET)
        self.cell(0, 4, f"{self._title} · {self.page_no()}/{SHEETS}", align="R")

    def _write_page(self, page: Page) -> None:
        self.dress(17)
        self._paragraph(self._title, heavy=True)
        self._facts(page.facts)
        self.set_draw_color(*INK)
        self.set_line_width(0.6)
        self.line(self.l_margin, self.get_y() + 1, self.w - self.r_margin, self.get_y() + 1)
        self.ln(4 * self.scale)
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
        if self.lacking:
            words = tr("� stands for a sign that the type of this PDF does not have; the HTML page shows it.")
            self._words(Words(words, Look.QUIET))

    # words

    def _paragraph(self, text: str, *, lead: str = "", heavy: bool = False, indent: float = 0.0) -> None:
        self.set_x(self.l_margin + indent)
        if lead:
            self.set_font(style="B")
            self.write(self.leading, self.told(f"{lead} "))
            self.set_font(style="")
            self.write(self.leading, self.told(text))
            self.ln(self.leading)
            return
        self.set_font(style="B" if heavy else "")
        self._lines(text)
        self.set_font(style="")

    def _keep_whole(self, text: str) -> None:
        """Begin another sheet where a paragraph of few lines would not end on this one."""
        lines = -(-self.wide(self.told(text)) // (0.95 * self.epw))
        if lines <= _FEW_LINES and self.lacks(lines * self.leading):
            self.add_page()

    def _lines(self, text: str) -> None:
        width = self.w - self.r_margin - self.x
        self.multi_cell(width, self.leading, self.told(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)

    def _heading(self, block: Heading, following: Block | None) -> None:
        pictures = self._row_room(following.tiles[:_TILES_ACROSS]) if isinstance(following, Pictures) else 0.0
        self.dress(12.5 if block.level == 2 else 10)
        room = max(self.leading * (7 if block.level == 2 else 6), 3 * self.leading + pictures)
        if self.lacks(room):
            self.add_page()
        self.ln((3.5 if block.level == 2 else 1.5) * self.scale)
        self.start_section(block.words, block.level - 2, strict=False)
        if block.anchor in self._ways:
            self.set_link(self._ways[block.anchor], self.get_y(), page=self.page)
        self._paragraph(f"{block.text} {isolated(block.own)}".strip(), heavy=True)
        if block.level == 2:
            self.set_draw_color(*LINE)
            self.set_line_width(0.2)
            self.line(self.l_margin, self.get_y(), self.w - self.r_margin, self.get_y())
        self.ln(0.8 * self.scale)

    def _contents(self, block: Contents) -> None:
        """The headings in a row; each leads to its place."""
        self.dress(9.5, ACCENT)
        for heading in block.headings:
            self._ways[heading.anchor] = way = self.add_link()
            words = self.told(heading.words)
            width = self.wide(words) + _WAY_MM
            if self.x + width - _WAY_MM > self.w - self.r_margin:
                self.ln(1.15 * self.leading)
            self.cell(width, self.leading, words, link=way)
        self.ln(1.6 * self.leading)

    def _words(self, block: Words) -> None:
        size = {Look.QUIET: 8.0, Look.FIRST: 12.0}.get(block.look, 9.5)
        colour = {Look.QUIET: QUIET, Look.DEPARTS: ACCENT}.get(block.look, INK)
        self.dress(size, colour)
        first = block.look is Look.FIRST
        self._keep_whole(" ".join(filter(None, (block.lead, block.text))))
        top, sheet = self.get_y(), self.page
        self._paragraph(block.text, lead=block.lead, heavy=block.look in _HEAVY, indent=4 if first else 0)
        if first and self.page == sheet:
            self.set_draw_color(*ACCENT)
            self.set_line_width(1)
            self.line(self.l_margin + 1, top + 0.5, self.l_margin + 1, self.get_y())
        self.ln(1 * self.scale)

    def _bullets(self, block: Bullets) -> None:
        self.dress(8 if block.quiet else 9.5, QUIET if block.quiet else INK)
        for words in block.items:
            self._keep_whole(words)
            self.set_x(self.l_margin + 1)
            self.cell(4, self.leading, "•")
            self._lines(words)
        self.ln(1 * self.scale)

    def _facts(self, block: Facts) -> None:
        if not block.rows:
            return
        self.dress(9)
        names = [self.told(row.name) for row in block.rows]
        column = min(max(map(self.wide, names)) + 4, self.epw * 0.4)
        for name, row in zip(names, block.rows, strict=True):
            if self.lacks(self.leading):
                self.add_page()
            top = self.get_y()
            self.dress(9, QUIET)
            at = (XPos.RIGHT, YPos.TOP)
            self.multi_cell(column, self.leading, name, align="L", new_x=at[0], new_y=at[1])
            self.set_xy(self.l_margin + column, top)
            self.dress(9)
            self._lines(row.number.text)
            if row.note:
                self.set_x(self.l_margin + column)
                self.dress(8, QUIET)
                self._lines(row.note)
        self.ln(1 * self.scale)

    def _table(self, block: Table) -> None:
        write_table(self, block)
        if block.reasons:
            self.ln(1)
            self._words(Words(" ".join(block.reasons), Look.QUIET, _GAPS))
        self.ln(1 * self.scale)

    # drawings

    def _charts(self, block: Charts) -> None:
        gap = 6.0
        width = min((self.epw - gap) / 2, 100.0)
        height = width * page_charts.HEIGHT / page_charts.WIDTH
        if self.lacks(height + 12):
            self.add_page()
        top, bottom = self.get_y() + 1, 0.0
        for place, drawing in enumerate(block.drawings):
            left = self.l_margin + (place % 2) * (width + gap)
            if place and place % 2 == 0:
                top = bottom + 2
            Sketch(self, left, top, width / page_charts.WIDTH).draw(drawing)
            self.set_xy(left, top + height + 1)
            self.dress(LEAST_PT)
            text = self.told(drawing.caption)
            self.multi_cell(width, self.leading, text, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
            bottom = max(bottom, self.get_y())
        self.set_xy(self.l_margin, bottom + 2)

    @property
    def _tile_width(self) -> float:
        return (float(self.epw) - _TILE_GAP_MM * (_TILES_ACROSS - 1)) / _TILES_ACROSS

    def _row_room(self, row: Sequence[Tile]) -> float:
        """How high a row of pictures with its words is, mm; its words' type is at hand from then on."""
        self.dress(LEAST_PT)
        lines = 1 + max((len(tile.angles) for tile in row), default=0)
        high = max((self._tile_width * _ratio(tile) for tile in row), default=0.0)
        return high + 1.6 * lines * self.leading

    def _pictures(self, tiles: Sequence[Tile]) -> None:
        width = self._tile_width
        for start in range(0, len(tiles), _TILES_ACROSS):
            row = tiles[start : start + _TILES_ACROSS]
            heights = [width * _ratio(tile) for tile in row]
            if self.lacks(self._row_room(row)):
                self.add_page()
            top, bottom = self.get_y() + 1, 0.0
            for place, (tile, high) in enumerate(zip(row, heights, strict=True)):
                left = self.l_margin + place * (width + _TILE_GAP_MM)
                self.image(io.BytesIO(tile.jpeg), left, top, width, high, alt_text=self.told(tile.title))
                self.set_xy(left, top + max(heights) + 0.5)
                words = self.told("\n".join((tile.title, *tile.angles)))
                self.multi_cell(width, self.leading, words, align="L", new_y=YPos.NEXT)
                bottom = max(bottom, self.get_y())
            self.set_xy(self.l_margin, bottom + 1)


def _ratio(tile: Tile) -> float:
    from PIL import Image

    width, height = Image.open(io.BytesIO(tile.jpeg)).size
    return height / width
