"""A sheet of A4 with its type: what stands on it is written by others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from fpdf import FPDF

from analysis.report.bundled_fonts import BODY
from analysis.report.pdf_type import add_type, shown

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


class Sheet(FPDF):
    """Paper, margins and fonts. ``scale``: of all type that is larger than ``LEAST_PT``; ``bold``: the files
    of the bold fonts by family. ``lacking``: whether a sign was written that no font has.
    """

    def __init__(self, scale: float, bold: Mapping[str, Path]) -> None:
        super().__init__(format="A4")
        self.scale = scale
        self.lacking = False
        self.wide: Callable[[str], float] = self.get_string_width
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(True, margin=MARGIN_MM + 4)
        self.set_creation_date(_NO_TIME)
        add_type(self, bold)

    def told(self, text: str) -> str:
        """The text as the fonts can show it."""
        found, lacking = shown(self, text)
        self.lacking |= lacking
        return found

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
