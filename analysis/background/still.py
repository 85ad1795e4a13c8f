"""Whether the camera stood still, from a few pictures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from analysis.background.fitting import fit
from analysis.background.following import corners, follow, grid, mapped, rms
from analysis.background.pictures import Floats, Grey, GreyPictures
from analysis.background.shaping import in_the_light_of
from analysis.values.film import Film

STILL_PX = 0.35
"""Followed pixels, along each axis, by which the background of a still camera is off at most; a stand that
sinks or the film's compression may make as much.
"""

_LOOKED_AT = 12
_EDGE_LEVELS, _OTHER_LEVELS, _MOST_OTHER, _FEWEST_EDGES = 6.0, 10.0, 0.2, 50
"""Grey levels per pixel that make an edge; by which a pixel is another; the share of others, of the picture
and of its edges, that people may make; and so many pixels that tell of edges.
"""


@dataclass(frozen=True)
class Stillness:
    """How far the background was off the first picture's, in followed px, at some frames."""

    frames: tuple[int, ...]
    away_px: tuple[float, ...]

    def error_px(self, first: int, last: int) -> Floats:
        """Standard uncertainty (n,) of every frame that comes from taking the camera as still."""
        return np.interp(np.arange(first, last + 1), self.frames, self.away_px)


def stillness(
    film: Film,
    pictures: GreyPictures,
    first: int,
    last: int,
    looked: Callable[[Grey], None] | None = None,
) -> Stillness | None:
    """Look at up to a dozen frames; None as soon as one is off, or where it can't be told. ``looked``: given
    each picture.
    """
    wanted = _frames(film, first, last)
    begin = pictures.picture(first)
    looked = looked or (lambda _: None)
    looked(begin)
    places = corners(begin, 400, 8)
    away = [0.0]
    for number in wanted[1:]:
        picture = pictures.picture(number)
        looked(picture)
        there, ok = follow(begin, in_the_light_of(picture, begin), places, 15, 2)
        found = fit(places[ok], there[ok], begin.shape)
        if found is None:
            if not _unchanged(begin, picture):
                return None
            away.append(STILL_PX)
            continue
        off = rms(mapped(found.map, grid(begin.shape)) - grid(begin.shape))
        if off > max(STILL_PX, 2.0 * found.error_px):
            return None
        away.append(float(np.hypot(off, found.error_px)))
    away[0] = float(np.median(away[1:])) if len(away) > 1 else 0.0
    return Stillness(wanted, tuple(away))


def _unchanged(begin: Grey, picture: Grey) -> bool:
    """Whether a picture in which nothing can be followed, bare or of one pattern, is the first one still."""
    one, two = (cv2.GaussianBlur(each, (0, 0), 1.0).astype(np.float32) for each in (begin, picture))
    other = np.abs(one - two) > _OTHER_LEVELS
    slopes = [np.asarray(cv2.Sobel(one, cv2.CV_32F, *way, scale=0.125)) for way in ((1, 0), (0, 1))]
    edges = np.hypot(*slopes) > _EDGE_LEVELS
    if other.mean() > _MOST_OTHER:
        return False
    return bool(edges.sum() < _FEWEST_EDGES or other[edges].mean() <= _MOST_OTHER)


def _frames(film: Film, first: int, last: int) -> tuple[int, ...]:
    """Frames spread over the stretch, at key frames where there are enough: those are quick to reach."""
    keys = [n for n, entry in enumerate(film.index) if entry.key and first < n < last]
    even = np.linspace(first, last, min(_LOOKED_AT, last - first + 1)).round().astype(int)
    if len(keys) >= len(even) - 2:
        nearest = [min(keys, key=lambda key, n=n: abs(key - n)) for n in even[1:-1]]  # type: ignore[misc]
        even = np.array([first, *nearest, last])
    return tuple(int(n) for n in np.unique(even))
