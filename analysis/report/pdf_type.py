"""The type inside a PDF: one family of free fonts for many scripts, and what stands for a sign it lacks.

The fonts' weight can be varied; of bold, only the letters that are set in it are cut out of them.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont
from fpdf import FPDF
from fpdf.enums import TextDirection
from fpdf.fonts import TTFFont

from analysis.report.bundled_fonts import BODY, EMOJI, FAMILIES, LACKING, font_file
from analysis.report.signs import signs

ISOLATE, END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
_KEPT = ("\N{ZERO WIDTH JOINER}", "\N{VARIATION SELECTOR-16}", ISOLATE, END, "\n")


_JOINING = ("Cf", "Mc", "Me", "Mn")
"""Kinds of signs that are drawn with what stands beside them, so in its font."""
_BOLD = 700.0


@contextmanager
def bold_type(texts: Iterable[str]) -> Iterator[Mapping[str, Path]]:
    """Font files, by family, that hold the letters of these texts in bold, each letter in the first family
    that has it, a joined emoji in that of emoji; they are gone after the block.
    """
    told = {sign for text in texts for sign in signs(text)}
    joined = {ord(letter) for sign in told if sign.joined for letter in sign.text}
    letters = {letter for sign in told if not sign.joined for letter in sign.text}
    with_all = {ord(one) for one in letters if unicodedata.category(one) in _JOINING}
    open_ones = set(map(ord, letters)) - with_all
    with_all.add(ord(" "))  # what can't be seen is set as a space without width
    files: dict[str, Path] = {}
    with TemporaryDirectory(prefix="cinderlane-") as folder:
        for family in FAMILIES:
            wanted = open_ones | (joined if family == EMOJI else set())
            if not wanted:
                continue
            with TTFont(font_file(family), lazy=True) as font:
                held = font.getBestCmap().keys()
                if mine := wanted & held:
                    files[family] = Path(folder) / f"{family}.ttf"
                    _cut(font, mine | (with_all & held), files[family])
                open_ones -= mine
        yield files


def _cut(font: TTFont, letters: set[int], file: Path) -> None:
    """Write these letters in bold."""
    options = subset.Options(layout_features=["*"], name_IDs=["*"], notdef_outline=True)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=letters)
    subsetter.subset(font)  # first: what is left is cut in a tenth of the time
    axes = {axis.axisTag: axis.defaultValue for axis in font["fvar"].axes}
    instantiateVariableFont(font, axes | {"wght": _BOLD}, inplace=True, static=True, updateFontNames=True)
    font.save(file)


def add_type(paper: FPDF, bold: Mapping[str, Path]) -> None:
    """Give a paper its fonts; only the signs that are used come into the file. ``bold``: by ``bold_type``."""
    for family in FAMILIES:
        paper.add_font(family, "", font_file(family))
    for family, file in bold.items():
        paper.add_font(family, "B", file)
    paper.set_fallback_fonts([family for family in FAMILIES if family != BODY], exact_match=False)
    paper.set_text_shaping(True, direction=TextDirection.LTR)


def close_type(paper: FPDF) -> None:
    """Close the files of the fonts, which the library keeps open."""
    for font in paper.fonts.values():
        if isinstance(font, TTFFont):
            font.ttfont.close()


def isolated(text: str) -> str:
    """Somebody's words, kept from turning round what stands beside them (Unicode Standard Annex 9)."""
    return f"{ISOLATE}{text}{END}" if text else ""


def shown(paper: FPDF, text: str) -> tuple[str, bool]:
    """The text as the fonts can show it, and whether a sign had to be replaced."""
    out, lacking = [], False
    for sign in signs(text):
        for letter in () if sign.joined else sign.text:
            if letter in _KEPT or _has(paper, letter):
                out.append(letter)
            elif letter.isspace():
                out.append(" ")
            elif unicodedata.category(letter) not in ("Cf", "Cc", "Mn"):
                out.append(LACKING)
                lacking = True
        if sign.joined:
            out.append(sign.text)
    return "".join(out), lacking


def _has(paper: FPDF, letter: str) -> bool:
    fonts = (paper.fonts[family] for family in FAMILIES)  # bold has no letter that these lack
    return any(isinstance(font, TTFFont) and ord(letter) in font.cmap for font in fonts)
