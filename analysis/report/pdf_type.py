"""The type inside a PDF: one family of free fonts for many scripts, and what stands for a sign it lacks."""

from __future__ import annotations

import unicodedata

from fpdf import FPDF
from fpdf.enums import TextDirection
from fpdf.fonts import TTFFont

from analysis.report.bundled_fonts import BODY, FAMILIES, LACKING, font_file

_ISOLATE, _END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
_KEPT = ("\N{ZERO WIDTH JOINER}", "\N{VARIATION SELECTOR-16}", _ISOLATE, _END, "\n")


def add_type(paper: FPDF) -> None:
    """Give a paper its fonts; only the signs that are used come into the file."""
    for family in FAMILIES:
        paper.add_font(family, "", font_file(family))
    paper.set_fallback_fonts([family for family in FAMILIES if family != BODY], exact_match=False)
    paper.set_text_shaping(True, direction=TextDirection.LTR)


def close_type(paper: FPDF) -> None:
    """Close the files of the fonts, which the library keeps open."""
    for font in paper.fonts.values():
        if isinstance(font, TTFFont):
            font.ttfont.close()


def isolated(text: str) -> str:
    """Somebody's words, kept from turning round what stands beside them (Unicode Standard Annex 9)."""
    return f"{_ISOLATE}{text}{_END}" if text else ""


def shown(paper: FPDF, text: str) -> tuple[str, bool]:
    """The text as the fonts can show it, and whether a sign had to be replaced."""
    out, lacking = [], False
    for letter in text:
        if letter in _KEPT or _has(paper, letter):
            out.append(letter)
        elif letter.isspace():
            out.append(" ")
        elif unicodedata.category(letter) not in ("Cf", "Cc", "Mn"):
            out.append(LACKING)
            lacking = True
    return "".join(out), lacking


def _has(paper: FPDF, letter: str) -> bool:
    fonts = (paper.fonts[family] for family in FAMILIES)
    return any(isinstance(font, TTFFont) and ord(letter) in font.cmap for font in fonts)
