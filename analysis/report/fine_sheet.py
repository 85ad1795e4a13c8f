"""Smooth lines and discs on a picture: drawn larger on a sheet of their own, then made smaller."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise

from PIL import Image, ImageDraw

Point = tuple[float, float]
Pens = Sequence[tuple[str, float]]
"""Colours, each with its width in pixels, the lowest first."""

FAINT = "8C"
"""Alpha of a guess, behind a colour."""
_FINER = 4
"""So many times larger lines are drawn."""
_DASH = (6.0, 4.0)


class FineSheet:
    """A sheet ``_FINER`` times as fine as the picture, its left upper corner at a pixel of that.

    Places are pixels from the picture's left upper corner, whose first pixel reaches from 0 to 1.
    """

    def __init__(self, draw: ImageDraw.ImageDraw, corner: tuple[int, int]) -> None:
        self._draw, self._corner = draw, corner

    def line(self, places: Sequence[Point], colour: str, width: float) -> None:
        """A line through places."""
        whole = 2 * int(width * _FINER / 2) + 1  # odd, so that it has a middle
        self._draw.line([self._fine(place) for place in places], colour, whole, joint="curve")

    def pens(self, places: Sequence[Point], pens: Pens, unit: float, *, dashed: bool = False) -> None:
        """A line in each pen in turn; ``dashed``: the uppermost is broken, by ``unit``."""
        for n, (colour, width) in enumerate(pens):
            top = dashed and n == len(pens) - 1
            for part in _dashes(places, unit) if top else [places]:
                self.line(part, colour, width)

    def disc(self, place: Point, radius: float, colour: str) -> None:
        """A filled circle."""
        self._draw.circle(self._fine(place), radius * _FINER, colour)

    def ring(self, place: Point, radius: float, colour: str, width: float) -> None:
        """A circle's line."""
        self._draw.circle(
            self._fine(place), (radius + width / 2) * _FINER, None, colour, round(width * _FINER)
        )

    def _fine(self, place: Point) -> Point:
        # to the nearest: the library would cut off what lies behind the point
        x, y = (round((n - low) * _FINER - 0.5) for n, low in zip(place, self._corner, strict=True))
        return x, y


@contextmanager
def fine_sheet(picture: Image.Image, places: Sequence[Point], reach: float) -> Iterator[FineSheet | None]:
    """A sheet that reaches so far round the places; when the block ends it lies on the picture.

    None where all of it would lie beyond the edge.
    """
    left = max(0, math.floor(min(x for x, _ in places) - reach))
    top = max(0, math.floor(min(y for _, y in places) - reach))
    right = min(picture.width, math.ceil(max(x for x, _ in places) + reach))
    bottom = min(picture.height, math.ceil(max(y for _, y in places) + reach))
    if right <= left or bottom <= top:
        yield None
        return
    large = Image.new("RGBA", ((right - left) * _FINER, (bottom - top) * _FINER))
    yield FineSheet(ImageDraw.Draw(large), (left, top))
    small = large.reduce(_FINER)
    picture.paste(small, (left, top), small)


def _dashes(places: Sequence[Point], unit: float) -> Iterator[Sequence[Point]]:
    """The pieces of a way that a broken line shows."""
    on, off = (length * unit for length in _DASH)
    for (x0, y0), (x1, y1) in pairwise(places):
        whole = math.dist((x0, y0), (x1, y1))
        for n in range(math.ceil(whole / (on + off))):
            first = n * (on + off) / whole
            last = min(1.0, first + on / whole)
            yield [(x0 + t * (x1 - x0), y0 + t * (y1 - y0)) for t in (first, last)]
