"""Fonts for words in pictures: the bundled one, and one of the machine's where that lacks the letters."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache

from PIL import ImageFont, features

Font = ImageFont.FreeTypeFont | ImageFont.ImageFont

_OTHERS = (
    "DejaVuSans.ttf",
    "NotoSans-Regular.ttf",
    "NotoSansHebrew-Regular.ttf",
    "NotoSansArabic-Regular.ttf",
    "NotoEmoji-Regular.ttf",
    "segoeui.ttf",
    "seguisym.ttf",
    "seguiemj.ttf",
    "Arial Unicode.ttf",
    "Arial.ttf",
)
"""Fonts with many scripts that systems have."""
_UNKNOWN = "\uffff"
_MARK = "\N{LEFT-TO-RIGHT MARK}"


@lru_cache
def font_of(px: int) -> Font:
    """The bundled font."""
    return ImageFont.load_default(px)


@lru_cache(maxsize=512)
def font_for(text: str, px: int) -> Font:
    """The first font that has all letters of a text; where none has, the one that has most of them."""
    letters = {one for one in text if unicodedata.category(one)[0] not in "CZM"}
    best, most = font_of(px), -1
    for font in _fonts(px):
        there = sum(_has(font, one) for one in letters)
        if there == len(letters):
            return font
        if there > most:
            best, most = font, there
    return best


def one_line(text: str) -> str:
    """A text that can be drawn: in one line, without halves of characters."""
    line = " ".join(text.encode("utf-8", "replace").decode("utf-8").splitlines())
    # Raqm alone knows that a mark is no sign
    return line if features.check("raqm") else line.replace(_MARK, "")


def in_order(parts: Iterable[str]) -> str:
    """Parts side by side from left to right, whatever script each is in (Unicode Standard Annex 9).

    Marks, since the library that lays letters out does not keep what stands between isolates whole.
    """
    return " · ".join(f"{_MARK}{part}{_MARK}" for part in parts if part)


def wrapped(text: str, px: int, width: float) -> list[str]:
    """A text in lines that are no wider, broken between words; a longer word stands alone."""
    font, lines = font_for(one_line(text), px), []
    for part in text.encode("utf-8", "replace").decode("utf-8").splitlines():
        line = ""
        for word in part.split():
            longer = f"{line} {word}".strip()
            if line and font.getlength(longer) > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return lines


def _fonts(px: int) -> Iterator[Font]:
    yield font_of(px)
    for name in _OTHERS:
        found = _of_machine(name, px)
        if found is not None:
            yield found


@lru_cache
def _of_machine(name: str, px: int) -> Font | None:
    try:
        return ImageFont.truetype(name, px)
    except OSError:
        return None


def _has(font: Font, letter: str) -> bool:
    """Whether a font has a letter: it is drawn otherwise than one that no font has."""
    return _drawn(font, letter) != _drawn(font, _UNKNOWN)


@lru_cache(maxsize=2048)
def _drawn(font: Font, letter: str) -> tuple[tuple[int, int], bytes]:
    mask = font.getmask(letter)
    return mask.size, bytes(mask)
