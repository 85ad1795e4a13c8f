"""Smooth lines and discs on pixels, in place, by parts of a pixel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from itertools import pairwise

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

Pixels = npt.NDArray[np.uint8]
Point = tuple[float, float]
Places = Sequence[Point] | npt.NDArray[np.float64]
"""Places in turn; as an array (n, 2) where they are many."""
Pens = Sequence[tuple[str, float]]
"""Colours, ``#RRGGBB``, each with its width in pixels, the lowest first."""
Box = tuple[int, int, int, int]
"""Left, top, right, bottom, px."""
WHOLE: Point = (-0.5, -0.5)
"""The place of the film at the left upper corner of its whole picture."""

FAINT = 0.55
"""How much of its ground a guess covers."""
_SHIFT = 6
_SMOOTHED, _SMOOTHED_DISC = 0.65, 0.5
"""The library smooths edges outwards: a line is by so much wider on either side, a disc larger (measured)."""
_DASH = (6.0, 4.0)


class Canvas:
    """Pixels that are drawn on: (height, width, 3) red, green, blue, or (height, width, 4) blue, green, red,
    255. Places are px from the left upper corner, whose first pixel reaches from 0 to 1.
    """

    def __init__(self, pixels: Pixels) -> None:
        self.pixels = pixels
        self.height, self.width = int(pixels.shape[0]), int(pixels.shape[1])

    def colour(self, name: str) -> tuple[int, ...]:
        """``#RRGGBB`` in the order of the pixels."""
        return _tint(name, self.pixels.shape[2])

    def box(self, places: Places, reach: float) -> Box | None:
        """The part that reaches so far round the places; None where all of it lies beyond the edge."""
        all_of = np.asarray(places)
        (least_x, least_y), (most_x, most_y) = all_of.min(axis=0), all_of.max(axis=0)
        left, top = max(0, math.floor(least_x - reach)), max(0, math.floor(least_y - reach))
        right = min(self.width, math.ceil(most_x + reach))
        bottom = min(self.height, math.ceil(most_y + reach))
        return (left, top, right, bottom) if right > left and bottom > top else None

    @contextmanager
    def faintly(self, places: Places, reach: float) -> Iterator[None]:
        """What the block draws round these places lets half of its ground through."""
        box = self.box(places, reach)
        if box is None:
            yield
            return
        part = self.pixels[box[1] : box[3], box[0] : box[2]]
        before = part.copy()
        yield
        part[:] = cv2.addWeighted(part, FAINT, before, 1 - FAINT, 0)

    def line(self, places: Sequence[Point], colour: str, width: float) -> None:
        """A way through places, round where it bends and cut straight at its ends."""
        tint, half = self.colour(colour), max(0.0, width / 2 - _SMOOTHED)
        for start, end in pairwise(places):
            shape = _shape(start, end, half)
            if shape is None:
                self._disc(start, half, tint)
            else:
                cv2.fillConvexPoly(self.pixels, shape, tint, cv2.LINE_AA, _SHIFT)
        for place in places[1:-1]:
            self._disc(place, half, tint)

    def pens(self, places: Sequence[Point], pens: Pens, unit: float, *, dashed: bool = False) -> None:
        """A line in each pen in turn; ``dashed``: the uppermost is broken, by ``unit``."""
        for n, (colour, width) in enumerate(pens):
            top = dashed and n == len(pens) - 1
            for part in _dashes(places, unit) if top else [places]:
                self.line(part, colour, width)

    def way(self, places: Places, pens: Pens) -> None:
        """A way through many places, in each pen in turn."""
        line = [_all_fixed(places)]
        for colour, width in pens:
            wide = max(1, round(width))
            cv2.polylines(self.pixels, line, False, self.colour(colour), wide, cv2.LINE_AA, _SHIFT)

    def disc(self, place: Point, radius: float, colour: str) -> None:
        """A filled circle."""
        self._disc(place, max(0.25, radius - _SMOOTHED_DISC), self.colour(colour))

    def ring(self, place: Point, radius: float, colour: str, width: float) -> None:
        """A circle's line."""
        self._disc(place, radius, self.colour(colour), max(1, round(width)))

    def _disc(self, place: Point, radius: float, tint: tuple[int, ...], thickness: int = -1) -> None:
        fixed = round(radius * (1 << _SHIFT))
        cv2.circle(self.pixels, _fixed(place), fixed, tint, thickness, cv2.LINE_AA, _SHIFT)


def bgra(picture: Image.Image) -> Pixels:
    """An RGB picture as pixels (height, width, 4), blue, green, red, 255."""
    return np.ascontiguousarray(cv2.cvtColor(np.asarray(picture), cv2.COLOR_RGB2BGRA), np.uint8)


def _fixed(place: Point) -> tuple[int, int]:
    """A place as the library counts: from a pixel's centre, in parts of a pixel."""
    return round((place[0] - 0.5) * (1 << _SHIFT)), round((place[1] - 0.5) * (1 << _SHIFT))


def _all_fixed(places: Places) -> npt.NDArray[np.int32]:
    return np.rint((np.asarray(places) - 0.5) * (1 << _SHIFT)).astype(np.int32)


@lru_cache(maxsize=4096)
def _shape(start: Point, end: Point, half: float) -> npt.NDArray[np.int32] | None:
    """The corners of a line so far on either side of it, as the library counts; None for one without length.

    What is marked on the ground is the same from picture to picture.
    """
    (x0, y0), (x1, y1) = start, end
    length = math.hypot(x1 - x0, y1 - y0)
    if length < 1e-9:
        return None
    across, down = half * (y0 - y1) / length, half * (x1 - x0) / length
    less = min(_SMOOTHED / length, 0.5)
    dx, dy = less * (x1 - x0), less * (y1 - y0)
    x0, y0, x1, y1 = x0 + dx, y0 + dy, x1 - dx, y1 - dy
    corners = (
        (x0 + across, y0 + down),
        (x1 + across, y1 + down),
        (x1 - across, y1 - down),
        (x0 - across, y0 - down),
    )
    return np.array([_fixed(corner) for corner in corners], np.int32)


@lru_cache(maxsize=256)
def _tint(name: str, channels: int) -> tuple[int, ...]:
    red, green, blue = (int(name[n : n + 2], 16) for n in (1, 3, 5))
    return (red, green, blue) if channels == 3 else (blue, green, red, 255)


def _dashes(places: Sequence[Point], unit: float) -> Iterator[Sequence[Point]]:
    """The pieces of a way that a broken line shows."""
    on, off = (length * unit for length in _DASH)
    for (x0, y0), (x1, y1) in pairwise(places):
        whole = math.dist((x0, y0), (x1, y1))
        for n in range(math.ceil(whole / (on + off))):
            first = n * (on + off) / whole
            last = min(1.0, first + on / whole)
            yield [(x0 + t * (x1 - x0), y0 + t * (y1 - y0)) for t in (first, last)]
