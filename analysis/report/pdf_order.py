"""Lines of a PDF in which some words run to the left: set as they are seen, copied as they are written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any, NamedTuple

from fontTools.pens.basePen import BasePen
from fontTools.pens.transformPen import TransformPen
from fpdf.enums import TextDirection
from fpdf.fonts import Glyph, TTFFont
from fpdf.line_break import Fragment

from analysis.report.reading_order import in_sight

LEVEL = "level"
"""Under which a fragment's own level stands with what else is known of its shaping."""
WIDTHS = "widths"
"""Under which the widths stand that were measured on a paper."""
_UNITS = 1000  # of a font's size, in which the library gives widths
Point = tuple[float, float]


class Measured(Fragment):
    """A fragment that measures the same words once. A line is broken letter by letter, and each letter would
    be measured anew: most of what a page costs. Letters have no space between them beside their own.
    """

    def get_width(
        self, start: int = 0, end: int | None = None, chars: str | None = None, initial_cs: bool = True
    ) -> float:
        """As the library's."""
        words = "".join(self.characters[start:end]) if chars is None else chars
        known = (self.text_shaping_parameters or {})[WIDTHS]
        key = self.font.fontkey, self.font_size_pt, self.fragment_direction, words
        if key not in known:
            known[key] = super().get_width(chars=words, initial_cs=initial_cs)
        return float(known[key])


def as_seen(fragments: Sequence[Fragment]) -> list[Fragment]:
    """A line's fragments in such an order that the library sets each where it is seen."""
    turned = [_turned(one) for one in in_sight(fragments, _level)]
    found: list[Fragment] = []
    for way, run in groupby(turned, key=lambda one: one.fragment_direction):
        together = list(run)
        # the library turns these round itself, but knows of no numbers within them
        found += together[::-1] if way is TextDirection.RTL else together
    return found


def _level(fragment: Fragment) -> int:
    """Even ones run to the right, odd ones to the left."""
    return int((fragment.text_shaping_parameters or {}).get(LEVEL, 0))


def _turned(fragment: Fragment) -> Fragment:
    if fragment.fragment_direction is not TextDirection.RTL:
        return fragment
    return _Letters(fragment.characters, fragment.graphics_state, fragment.k, fragment.link)


class _Letters(Measured):
    """Words to the left, whose letters may be drawn in several parts, such as a letter and its dots.

    What says which letter it is stands in one row as text; the other parts are drawn as shapes, so that a
    program that copies the words finds letters beside letters and nothing else.
    """

    def render_with_text_shaping(self, pos_x: float, pos_y: float, h: float, word_spacing: float) -> str:
        """What the library would write, the row of letters first. ``word_spacing``: these pages have none."""
        del word_spacing
        assert isinstance(self.font, TTFFont)
        font, unit = self.font, self.font.scale * self.font_size_pt / _UNITS
        x, base = pos_x * self.k, (h - pos_y) * self.k
        row, shapes, in_row = "", "", False
        for part in _parts(font, self.string, self.font_size_pt, self.text_shaping_parameters):
            across, up = x + part.place.x_offset * unit, base + part.place.y_offset * unit
            if part.letters:
                row += f"{'' if in_row and part.fits else _at(across, up)}({part.code(font)}) Tj "
            else:
                shapes += _shape(font, part.name, across, up, unit / font.scale)
            x += part.place.x_advance * unit
            in_row = part.fits if part.letters else in_row
        return f"{row}{f'ET {shapes}f BT ' if shapes else ''}{_at(x, base)}"


def _at(x: float, y: float) -> str:
    """Write from here on, points."""
    return f"1 0 0 1 {x:.2f} {y:.2f} Tm "


class _Part(NamedTuple):
    """One of the font's shapes. ``letters``: what it says, empty for a part of a letter that others say;
    ``place``: as the shaping library gives it; ``width``: as the font gives it, in thousandths of its size.
    """

    glyph: int
    name: str
    letters: str
    place: Any
    width: int
    fits: bool

    def code(self, font: TTFFont) -> str:
        """How the sheet's content names it."""
        glyph = Glyph(self.glyph, tuple(map(ord, self.letters)), self.name, self.width)
        return str(font.escape_text(chr(font.subset.pick_glyph(glyph) or 0)))


def _parts(font: TTFFont, words: str, size_pt: float, how: Any) -> Iterator[_Part]:
    """The shapes of words from left to right; of those of a letter the widest says which it is."""
    if not words:
        return
    placed = list(zip(*font.perform_harfbuzz_shaping(words, size_pt, how), strict=True))
    starts = sorted({info.cluster for info, _ in placed})
    ends = dict(zip(starts, [*starts[1:], len(words)], strict=False))
    widest = {
        info.cluster: n for n, (info, place) in sorted(enumerate(placed), key=lambda one: one[1][1].x_advance)
    }
    for n, (info, place) in enumerate(placed):
        name = font.ttfont.getGlyphName(info.codepoint)
        width = round(font.scale * font.ttfont["hmtx"].metrics[name][0])
        letters = words[info.cluster : ends[info.cluster]] if widest[info.cluster] == n else ""
        fits = width == round(font.scale * place.x_advance) and not (place.x_offset or place.y_offset)
        yield _Part(info.codepoint, name, letters, place, width, fits)


def _shape(font: TTFFont, name: str, x: float, y: float, unit: float) -> str:
    """The outline of a glyph at a place; ``unit``: points for one of the font's units."""
    shapes = font.ttfont.getGlyphSet()
    pen = _Outline(shapes)
    shapes[name].draw(TransformPen(pen, (unit, 0, 0, unit, x, y)))
    return pen.written


class _Outline(BasePen):  # type: ignore[misc]
    """Writes outlines as a sheet's content has them (ISO 32000-2, 8.5.2)."""

    written = ""

    def _moveTo(self, pt: Point) -> None:  # noqa: N802 - the library's name
        self.written += f"{_pair(pt)} m "

    def _lineTo(self, pt: Point) -> None:  # noqa: N802
        self.written += f"{_pair(pt)} l "

    def _curveToOne(self, pt1: Point, pt2: Point, pt3: Point) -> None:  # noqa: N802
        self.written += f"{_pair(pt1)} {_pair(pt2)} {_pair(pt3)} c "

    def _closePath(self) -> None:  # noqa: N802
        self.written += "h "


def _pair(point: Point) -> str:
    return f"{point[0]:.3f} {point[1]:.3f}"
