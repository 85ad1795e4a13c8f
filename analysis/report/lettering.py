"""Words in pictures, in any script: each sign from the first font that has it, in the order of reading."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from PIL import ImageDraw, ImageFont

from analysis.report.bundled_fonts import EMOJI, FAMILIES, LACKING, font_file
from analysis.report.signs import Sign, signs

Font = ImageFont.FreeTypeFont | ImageFont.ImageFont

_OF_MACHINES = (
    "NotoSansCJK-Regular.ttc",
    "NotoSansCJKsc-Regular.otf",
    "SourceHanSans-Regular.ttc",
    "wqy-zenhei.ttc",
    "DroidSansFallbackFull.ttf",
    "msyh.ttc",
    "YuGothM.ttc",
    "malgun.ttf",
    "PingFang.ttc",
    "Hiragino Sans GB.ttc",
    "AppleSDGothicNeo.ttc",
    "DejaVuSans.ttf",
    "segoeui.ttf",
    "Arial Unicode.ttf",
    "Arial.ttf",
)
"""Fonts of systems with what the bundled ones lack: Chinese, Japanese and Korean above all."""
_UNKNOWN = "\uffff"
_MARK = "\N{LEFT-TO-RIGHT MARK}"
_JOINER = "\N{ZERO WIDTH JOINER}"
_MORE = "\N{HORIZONTAL ELLIPSIS}"
_UNSEEN, _UPON = ("Cc", "Cf", "Zl", "Zp"), ("Mc", "Me", "Mn", "Sk")
"""Kinds of signs that have no shape of their own, and of those that change or stand upon the one before."""


class Piece(NamedTuple):
    """Signs of one font and one direction, "ltr" or "rtl"; None: as the words themselves say."""

    words: str
    font: Font
    direction: str | None = None


@lru_cache
def font_of(px: int) -> Font:
    """The font of numbers and of plain words."""
    return ImageFont.load_default(px)


def length(text: str, px: int) -> float:
    """How wide a text is, px."""
    return sum(_advance(piece) for piece in pieces(one_line(text), px))


def write(
    draw: ImageDraw.ImageDraw, place: tuple[float, float], text: str, px: int, colour: str, anchor: str
) -> None:
    """Write a text in one line. ``anchor``: "la" left and top, "lm" left and middle, "mm" both middles."""
    line = one_line(text)
    found = pieces(line, px)
    if len(found) == 1:
        draw.text(place, found[0].words, colour, found[0].font, anchor=anchor)
        return
    above, below = _heights(px)
    x = place[0] - (length(text, px) / 2 if anchor[0] == "m" else 0)
    base = place[1] + ((above - below) / 2 if anchor[1] == "m" else above)
    for piece in found:
        draw.text((x, base), piece.words, colour, piece.font, anchor="ls", direction=piece.direction)
        x += _advance(piece)


def lacking(text: str) -> bool:
    """Whether a sign of a text is in no font that there is: another stands for it."""
    return LACKING not in text and any(LACKING in piece.words for piece in pieces(one_line(text), 16))


@lru_cache(maxsize=512)
def pieces(text: str, px: int) -> tuple[Piece, ...]:
    """A line from left to right in pieces; in one, where one font has all of it."""
    told = signs(text)
    whole = "".join(sign.text for sign in told)
    letters = {one for one in whole if unicodedata.category(one) not in _UNSEEN}
    for font in () if any(sign.joined for sign in told) else _fonts(px):
        if all(_has(font, one) for one in letters):
            return (Piece(whole if _shapes(font) else _bare(whole), font),)
    return tuple(piece for part, rtl in _in_sight(whole) for piece in _in_fonts(part, px, rtl=rtl))


def one_line(text: str) -> str:
    """A text that can be drawn: in one line, without halves of characters, accents within their letters."""
    whole = text.encode("utf-8", "replace").decode("utf-8")
    return unicodedata.normalize("NFC", " ".join(whole.splitlines()))


def in_order(parts: Iterable[str]) -> str:
    """Parts side by side from left to right, whatever script each is in (Unicode Standard Annex 9).

    Marks, since the library that lays letters out does not keep what stands between isolates whole.
    """
    return " · ".join(f"{_MARK}{part}{_MARK}" for part in parts if part)


def wrapped(text: str, px: int, width: float) -> list[str]:
    """A text in lines that are no wider, broken between words; a longer word is broken between its signs."""
    lines = []
    for part in text.encode("utf-8", "replace").decode("utf-8").splitlines():
        line = ""
        for word in part.split():
            longer = f"{line} {word}".strip()
            if line and length(longer, px) > width:
                lines.append(line)
                longer = word
            *full, line = _broken(longer, px, width)
            lines += full
        lines.append(line)
    return lines


def fitted(text: str, px: int, width: float, most: int) -> list[str]:
    """A text as ``wrapped``, in so many lines at most; where there is more, the last ends in an ellipsis."""
    mark = _MARK if text.startswith(_MARK) else ""  # each line runs the way of the whole
    lines = [f"{mark}{line}" for line in wrapped(one_line(text), px, width)]
    return lines if len(lines) <= most else [*lines[: most - 1], _shortened(lines[most - 1], px, width)]


def _shortened(line: str, px: int, width: float) -> str:
    """The beginning of a line that has room for an ellipsis."""
    kept = [sign.text for sign in signs(line)]
    while kept and length("".join(kept).rstrip() + _MORE, px) > width:
        kept.pop()
    return "".join(kept).rstrip() + _MORE


def _broken(word: str, px: int, width: float) -> list[str]:
    """A word in parts that are no wider, where it is one word alone; a sign stays whole."""
    if " " in word or length(word, px) <= width:
        return [word]
    parts = [""]
    for sign in signs(word):
        if parts[-1] and length(parts[-1] + sign.text, px) > width:
            parts.append("")
        parts[-1] += sign.text
    return parts


def _in_sight(text: str) -> Iterator[tuple[str, bool]]:
    """Stretches of one direction from left to right as they are seen; whether each runs to the left."""
    from analysis.report.reading_order import (
        in_sight,
        stretches,
    )  # the library of PDFs: only for who needs it

    for part, level in in_sight(stretches(text), lambda stretch: stretch[1]):
        yield part, level % 2 == 1


def _in_fonts(text: str, px: int, *, rtl: bool) -> list[Piece]:
    """Pieces of one font, from left to right."""
    found: list[tuple[str, Font]] = []
    for sign in signs(text):
        for part, font in _dressed(sign, px, found[-1] if found else ("", font_of(px))):
            if found and found[-1][1] is font:
                found[-1] = found[-1][0] + part, font
            else:
                found.append((part, font))
    made = [_piece(words, font, rtl=rtl) for words, font in found]
    return made[::-1] if rtl else made


def _dressed(sign: Sign, px: int, before: tuple[str, Font]) -> Iterator[tuple[str, Font]]:
    """A sign, or its parts, each with its font. ``before``: what stands before it, and its font."""
    emoji = _from_file(font_file(EMOJI), px) if sign.joined else None
    if emoji is not None and _shapes(emoji):
        yield sign.text, emoji
        return
    for letter in sign.base if sign.joined else sign.text:
        font: Font | None = before[1] if _goes_with(letter, *before) else _first_with(letter, px)
        before = letter if font is not None else LACKING, font or _first_with(LACKING, px) or font_of(px)
        yield before


def _piece(words: str, font: Font, *, rtl: bool) -> Piece:
    """A font that knows of no directions is handed signs that run to the left the other way round."""
    if _shapes(font):
        return Piece(words, font, "rtl" if rtl else "ltr")
    return Piece(_bare(words[::-1] if rtl else words), font)


def _shapes(font: Font) -> bool:
    return isinstance(font, ImageFont.FreeTypeFont) and font.layout_engine is ImageFont.Layout.RAQM


def _bare(words: str) -> str:
    """Without marks of direction and the like, which a font that only sets letters would draw."""
    return "".join(letter for letter in words if unicodedata.category(letter) != "Cf")


def _goes_with(letter: str, before: str, font: Font) -> bool:
    """Whether a sign is drawn in the font of what stands before it."""
    kind = unicodedata.category(letter)
    return kind in _UNSEEN or ((kind in _UPON or before.endswith(_JOINER)) and _has(font, letter))


def _first_with(letter: str, px: int) -> Font | None:
    return next((font for font in _fonts(px) if _has(font, letter)), None)


def _advance(piece: Piece) -> float:
    return float(piece.font.getlength(piece.words, direction=piece.direction))


@lru_cache
def _heights(px: int) -> tuple[float, float]:
    """How far plain words reach above and below the line that they stand on, as their font says, px."""
    font = font_of(px)
    return font.getmetrics() if isinstance(font, ImageFont.FreeTypeFont) else (float(px), 0.0)


def _fonts(px: int) -> Iterator[Font]:
    yield font_of(px)
    for file in (*map(font_file, FAMILIES), *_OF_MACHINES):
        found = _from_file(file, px)
        if found is not None:
            yield found


@lru_cache(maxsize=512)
def _from_file(file: str, px: int) -> Font | None:
    try:
        return ImageFont.truetype(file, px)
    except OSError:
        return None


@lru_cache(maxsize=4096)
def _has(font: Font, letter: str) -> bool:
    """Whether a font has a letter: it is drawn otherwise than one that no font has."""
    return _drawn(font, letter) != _drawn(font, _UNKNOWN)


@lru_cache(maxsize=2048)
def _drawn(font: Font, letter: str) -> tuple[tuple[int, int], bytes]:
    mask = font.getmask(letter)
    return mask.size, bytes(mask)
