"""Draws a scene on a picture of the film, at any size: trails, lines, points, labels, numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from PIL import Image, ImageDraw, ImageFont

from analysis.report.labels import Label, Rect, Where, laid_out
from analysis.report.scene import Dot, Look, Scene, Stroke, Trail
from analysis.report.strip_drawing import Ink
from analysis.values.command import Kind
from analysis.values.run import Side

Font = ImageFont.FreeTypeFont | ImageFont.ImageFont
Point = tuple[float, float]
Pens = Sequence[tuple[str, float]]
"""Colours, each with its width in pixels, the lowest first."""

_FINER = 4
"""Lines are drawn so many times larger and then made smaller, which smooths their edges."""
_UNIT_AT_PX = 540
"""Height of a picture on which a unit of thickness is a pixel (own)."""
_TEXT_SHARE = 1 / 34
_LEAST_TEXT_PX = 11
_PLATE = (0, 0, 0, 170)
_MARK, _TRAIL = "#F0E442", "#CC79A7"  # of the Okabe-Ito palette, as in the window
_FAINT = "8C"  # alpha of a guess
_DASH = (6.0, 4.0)


def draw_scene(picture: Image.Image, scene: Scene, scale: float, ink: Ink | None = None) -> None:
    """Draw a scene on an RGB picture in place.

    ``scale``: pixels of the picture in one of the film's; the centre of a pixel at (u, v) of the film lies at
    ``(u + 0.5) * scale - 0.5``.
    """
    _Drawing(picture, scale, ink or Ink()).draw(scene)


class _Drawing:
    """Trails below strokes below dots below labels; each is drawn on a small sheet of its own."""

    def __init__(self, picture: Image.Image, scale: float, ink: Ink) -> None:
        self._picture, self._scale, self._ink = picture, scale, ink
        self._unit = max(1.0, picture.height / _UNIT_AT_PX)
        self._font = _font(max(_LEAST_TEXT_PX, round(picture.height * _TEXT_SHARE)))
        self._pad = 0.25 * self._font.getbbox("Ag")[3]
        self._labels: list[Label] = []
        self._taken: list[Rect] = []

    def draw(self, scene: Scene) -> None:
        for trail in scene.trails:
            self._trail(trail)
        for stroke in scene.strokes:
            self._stroke(stroke)
        for dot in scene.dots:
            self._dot(dot)
        numbers = self._number_places(scene.numbers)
        self._labels.sort(key=lambda label: label.where is not Where.BELOW)  # marks first, as in the window
        surface = Rect(0, 0, self._picture.width, self._picture.height)
        places = laid_out(self._labels, [*(place for _, place in numbers), *self._taken], surface)
        for label, place in zip(self._labels, places, strict=True):
            self._plate(label.text, place, label.side)
        for text, place in numbers:
            self._plate(text, place, None)

    def _at(self, u: float, v: float) -> Point:
        """Where a place of the film lies, px from the picture's left upper corner."""
        return (u + 0.5) * self._scale, (v + 0.5) * self._scale

    def _on_sheet(self, places: Sequence[Point], reach: float, ink: Callable[[_Sheet], None]) -> None:
        """Draw on a sheet that reaches so far round the places, then lay it on the picture."""
        left = max(0, math.floor(min(x for x, _ in places) - reach))
        top = max(0, math.floor(min(y for _, y in places) - reach))
        right = min(self._picture.width, math.ceil(max(x for x, _ in places) + reach))
        bottom = min(self._picture.height, math.ceil(max(y for _, y in places) + reach))
        if right <= left or bottom <= top:
            return
        large = Image.new("RGBA", ((right - left) * _FINER, (bottom - top) * _FINER))
        ink(_Sheet(ImageDraw.Draw(large), (left, top)))
        small = large.reduce(_FINER)
        self._picture.paste(small, (left, top), small)

    def _line(self, places: Sequence[Point], pens: Pens, look: Look, *, dashed: bool = False) -> None:
        """A way through places, in each pen in turn; a guess is faint; ``dashed``: the uppermost pen is."""
        faint = _FAINT if look is Look.GUESSED else ""

        def ink(sheet: _Sheet) -> None:
            for n, (colour, width) in enumerate(pens):
                top = dashed and n == len(pens) - 1
                for part in _dashes(places, self._unit) if top else [places]:
                    sheet.line(part, colour + faint, width)

        self._on_sheet(places, max(width for _, width in pens) + 1, ink)

    def _trail(self, trail: Trail) -> None:
        pens = ((self._ink.halo, 3.4 * self._unit), (_TRAIL, 1.8 * self._unit))
        self._line([self._at(u, v) for u, v in trail.places], pens, trail.look)

    def _stroke(self, stroke: Stroke) -> None:
        ends = [self._at(*stroke.start), self._at(*stroke.end)]
        width = (2.6 if stroke.bold else 1.8 if stroke.thin else 2.4) * self._unit
        pens = [(self._ink.halo, width + 2 * self._unit), (self._colour(stroke.side, stroke.kind), width)]
        self._line(ends, pens, stroke.look, dashed=stroke.far)
        if stroke.label:
            (x0, y0), (x1, y1) = ends
            place = ((x0 + x1) / 2, (y0 + y1) / 2) if stroke.thin else (x1, y1)
            self._name(stroke.label, place, 8 * self._unit, stroke.side)

    def _dot(self, dot: Dot) -> None:
        place = self._at(dot.u, dot.v)
        if not Rect(0, 0, self._picture.width, self._picture.height).holds(*place):
            return  # a label would stick to the edge and say the wrong place
        colour = _TRAIL if dot.centre else self._colour(dot.side, dot.kind)
        if dot.kind is Kind.MARK:
            self._cross(place, colour)
        else:
            self._disc(place, colour, dot)
        reach = 4 * self._unit
        self._taken.append(Rect(place[0] - reach, place[1] - reach, 2 * reach, 2 * reach))
        if dot.label:
            self._name(dot.label, place, 8 * self._unit, where=Where.BELOW)

    def _cross(self, place: Point, colour: str) -> None:
        (x, y), arm = place, 6 * self._unit
        for ends in ([(x - arm, y), (x + arm, y)], [(x, y - arm), (x, y + arm)]):
            self._line(ends, ((self._ink.halo, 3.2 * self._unit), (colour, 1.4 * self._unit)), Look.PLACED)

    def _disc(self, place: Point, colour: str, dot: Dot) -> None:
        """Filled where it was placed, a ring where it was followed, a faint ring where it was guessed."""
        radius = (5.0 if dot.centre else 3.2) * self._unit
        faint = _FAINT if dot.look is Look.GUESSED else ""

        def ink(sheet: _Sheet) -> None:
            sheet.disc(place, radius + self._unit, self._ink.halo + faint)
            sheet.disc(place, radius, colour + faint)
            if dot.look is not Look.PLACED and not dot.centre:
                sheet.disc(place, radius - 1.2 * self._unit, self._ink.halo + faint)

        self._on_sheet([place], radius + 2 * self._unit, ink)

    def _colour(self, side: Side | None, kind: Kind) -> str:
        return _MARK if side is None and kind is Kind.MARK else self._ink.of(side)

    def _name(
        self, text: str, place: Point, gap: float, side: Side | None = None, where: Where = Where.BESIDE
    ) -> None:
        width, height = self._size(text)
        self._labels.append(Label(text, *place, width, height, gap, where, side))

    def _size(self, text: str) -> tuple[float, float]:
        """Width and height of the plate that holds a text."""
        line = self._font.getbbox("Ag")[3]
        return self._font.getlength(_one_line(text)) + 2 * self._pad, line + self._pad

    def _number_places(self, numbers: Sequence[str]) -> list[tuple[str, Rect]]:
        """The numbers one below the other at the left edge; the latest, where there is no room for all."""
        edge, height = 8 * self._unit, self._size("")[1] + self._unit
        room = max(1, int((self._picture.height - 2 * edge) // height))
        return [
            (text, Rect(edge, edge + row * height, *self._size(text)))
            for row, text in enumerate(numbers[-room:])
        ]

    def _plate(self, text: str, place: Rect, side: Side | None) -> None:
        """Text on a dark plate; the side that it belongs to stands on the plate's edge."""
        corner = round(place.x), round(place.y)
        plate = Image.new("RGBA", (max(1, round(place.width)), max(1, round(place.height))), _PLATE)
        draw = ImageDraw.Draw(plate)
        if side is not None:
            draw.rectangle((0, 0, max(1.0, 2 * self._unit), plate.height), self._ink.of(side))
        draw.text((self._pad, plate.height / 2), _one_line(text), "#FFFFFF", self._font, anchor="lm")
        self._picture.paste(plate, corner, plate)


class _Sheet:
    """A sheet ``_FINER`` times as fine as the picture, its left upper corner at a pixel of that."""

    def __init__(self, draw: ImageDraw.ImageDraw, corner: tuple[int, int]) -> None:
        self._draw, self._corner = draw, corner

    def line(self, places: Sequence[Point], colour: str, width: float) -> None:
        """A line through places."""
        whole = 2 * int(width * _FINER / 2) + 1  # odd, so that it has a middle
        self._draw.line([self._fine(place) for place in places], colour, whole, joint="curve")

    def disc(self, place: Point, radius: float, colour: str) -> None:
        """A filled circle."""
        self._draw.circle(self._fine(place), radius * _FINER, colour)

    def _fine(self, place: Point) -> Point:
        # to the nearest: the library would cut off what lies behind the point
        x, y = (round((n - low) * _FINER - 0.5) for n, low in zip(place, self._corner, strict=True))
        return x, y


def _dashes(places: Sequence[Point], unit: float) -> Iterator[Sequence[Point]]:
    """The pieces of a way that a broken line shows."""
    on, off = (length * unit for length in _DASH)
    for (x0, y0), (x1, y1) in pairwise(places):
        whole = math.dist((x0, y0), (x1, y1))
        for n in range(math.ceil(whole / (on + off))):
            first = n * (on + off) / whole
            last = min(1.0, first + on / whole)
            yield [(x0 + t * (x1 - x0), y0 + t * (y1 - y0)) for t in (first, last)]


@lru_cache
def _font(size: int) -> Font:
    return ImageFont.load_default(size)


def _one_line(text: str) -> str:
    """A text that can be drawn: in one line, without halves of characters."""
    return " ".join(text.encode("utf-8", "replace").decode("utf-8").splitlines())
