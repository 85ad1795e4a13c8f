"""A sheet of A4 with its type: what stands on it is written by others."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

from fpdf import FPDF
from fpdf.enums import TextDirection
from fpdf.line_break import Fragment, TextLine

from analysis.report.bundled_fonts import BODY, EMOJI
from analysis.report.pdf_order import LEVEL, WIDTHS, Measured, as_seen
from analysis.report.pdf_type import END, ISOLATE, add_type, shown
from analysis.report.reading_order import stretches
from analysis.report.signs import signs

Colour = tuple[int, int, int]
INK: Colour = (24, 34, 44)
QUIET: Colour = (80, 93, 106)
LINE: Colour = (207, 214, 221)
ACCENT: Colour = (107, 63, 160)
POINT_MM = 25.4 / 72
LEAST_PT = 8.0
"""Smaller type is not read at arm's length (common practice, no source)."""
MARGIN_MM = 14.0
_LEADING = 1.35
_NO_TIME = datetime(1970, 1, 1, tzinfo=UTC)
"""The library will write a time; when a page was written is nobody's business."""
_UNSEEN = dict.fromkeys(map(ord, (ISOLATE, END)))
"""They have said where words stand by then, and would only be copied."""


SHEETS = "\U000ffff0\U000ffff1\U000ffff2"
"""Stands for how many sheets there are, as wide as so many digits; no font has it, so no name holds it."""


class Sheet(FPDF):
    """Paper, margins and fonts. ``scale``: of all type that is larger than ``LEAST_PT``; ``bold``: the files
    of the bold fonts by family. ``lacking``: whether a sign was written that no font has.
    """

    def __init__(self, scale: float, bold: Mapping[str, Path]) -> None:
        super().__init__(format="A4")
        self._widths: dict[object, float] = {}
        self.scale = scale
        self.lacking = False
        self.wide: Callable[[str], float] = self.get_string_width
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(True, margin=MARGIN_MM + 4)
        self.alias_nb_pages(SHEETS)
        self.set_creation_date(_NO_TIME)
        add_type(self, bold)

    def told(self, text: str) -> str:
        """The text as the fonts can show it."""
        found, lacking = shown(self, text)
        self.lacking |= lacking
        return found

    def _preload_bidirectional_text(self, text: str, markdown: bool) -> tuple[Fragment, ...]:
        """Fragments in the order in which they are written, each with its level."""
        found: list[Fragment] = []
        for part, level in stretches(text, TextDirection.LTR):
            way = TextDirection.RTL if level % 2 else TextDirection.LTR
            shaping = self.text_shaping or {}
            shaping |= {"paragraph_direction": TextDirection.LTR, "fragment_direction": way}
            shaping |= {LEVEL: level, WIDTHS: self._widths}
            found += self._preload_font_styles(part.translate(_UNSEEN), markdown)
        return tuple(found)

    def _render_styled_text_line(self, text_line: TextLine, *how: Any, **more: Any) -> bool:
        """A line as it is seen."""
        shown = as_seen(text_line.fragments)
        return super()._render_styled_text_line(text_line._replace(fragments=shown), *how, **more)

    def _parse_chars(self, text: str, *how: Any, **more: Any) -> Iterator[Fragment]:
        """Joined emoji stand in their own font, each measured and set as one sign."""
        parts = [(False, signs(text))] if text.isascii() else groupby(signs(text), lambda sign: sign.joined)
        for joined, part in parts:
            told = [sign.text for sign in part]
            if joined:
                state = self._get_current_graphics_state()
                state.font_family = EMOJI
                state.font_style = "B" if "B" in state.font_style and f"{EMOJI}B" in self.fonts else ""
                state.current_font = self.fonts[EMOJI + state.font_style]
                yield Measured(told, state, self.k)
                continue
            for one in super()._parse_chars("".join(told), *how, **more):
                plain = type(one) is Fragment  # the one for the number of sheets measures otherwise
                yield Measured(one.characters, one.graphics_state, one.k, one.link) if plain else one

    def dress(self, points: float, colour: Colour = INK) -> None:
        """Write in this size and colour from now on, plain."""
        self.set_font(BODY, "", max(LEAST_PT, points * self.scale))
        self.set_text_color(*colour)

    @property
    def leading(self) -> float:
        """From one line to the next, mm."""
        return float(self.font_size_pt) * POINT_MM * _LEADING

    @property
    def epw(self) -> float:
        """How wide what is written may be, mm."""
        return float(super().epw)

    def lacks(self, height: float) -> bool:
        """Whether so many mm are not left on the sheet."""
        return bool(self.get_y() + height > self.page_break_trigger)
