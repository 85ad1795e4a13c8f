"""Whether the camera stood still, from a few pictures."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from analysis.background.fitting import fit
from analysis.background.following import Bools, corners, follow, grid, mapped, rms
from analysis.background.pictures import Grey, GreyPictures
from analysis.background.shaping import in_the_light_of
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.film import Film, FrameNumber

STILL_PX = 0.35
"""Followed pixels, along each axis, by which the background of a still camera is off at most; a stand that
sinks or the film's compression may make as much.
"""

_LOOKED_AT, _CORNERS = 12, 240
_EDGE_LEVELS, _OTHER_LEVELS, _MOST_OTHER, _FEWEST_EDGES = 6.0, 10.0, 0.2, 50
"""Grey levels per pixel that make an edge; by which a pixel is another; the share of the picture that people
may change; and so many pixels that tell of edges.
"""
_NEAR_PX, _APART, _MOST_PLACES = 7, 0.03, 2
"""So wide about a pixel that changed its neighbours count as changed; edges so far apart, as a share of the
picture, stand in two places; in so many places the runner may be and have been.
"""


@dataclass(frozen=True)
class Stillness:
    """How far the background was off the first picture's, in followed px, at some frames."""

    frames: tuple[int, ...]
    away_px: tuple[float, ...]

    def path(self, first: int, last: int, scale: float, lens: Lens | None) -> CameraPath:
        """The path of a camera that stood still from one frame to another; its error is what comes from
        taking it as still. ``scale``: shown pixels in a followed one.
        """
        numbers = np.arange(first, last + 1)
        error = np.interp(numbers, self.frames, self.away_px) * scale
        maps = np.tile(np.eye(3), (len(numbers), 1, 1))
        return CameraPath(CameraKind.STILL, FrameNumber(first), FrameNumber(first), maps, error, lens=lens)


class Stand:
    """Whether pictures look where a first one does, ``begin``, as all of a still camera's do.

    ``untold_holds``: also where nothing in the background tells; then ``untold`` says so.
    """

    def __init__(self, begin: Grey, *, untold_holds: bool = False) -> None:
        self._begin, self._untold_holds = begin, untold_holds
        self.untold = False
        self._places = corners(begin, _CORNERS, 8)
        self._away: list[float] = []

    def holds(self, picture: Grey) -> bool:
        """Look at one more; no where it is off, or where that can't be told."""
        begin = self._begin
        there, ok = follow(begin, in_the_light_of(picture, begin), self._places, 15, 2)
        found = fit(self._places[ok], there[ok], begin.shape)
        if found is None or found.error_px > STILL_PX:  # the corners tell nothing, or may be the runner's own
            self._away.append(STILL_PX)
            still = _unchanged(begin, picture)
            self.untold |= still is None
            return self._untold_holds if still is None else still
        off = rms(mapped(found.map, grid(begin.shape)) - grid(begin.shape))
        self._away.append(float(np.hypot(off, found.error_px)))
        return off <= max(STILL_PX, 2.0 * found.error_px)

    @property
    def away_px(self) -> tuple[float, ...]:
        """How far each was off, the first one as the middle of the others."""
        return (float(np.median(self._away)) if self._away else 0.0, *self._away)


def stillness(film: Film, pictures: GreyPictures, first: int, last: int) -> Stillness | None:
    """Look at up to a dozen frames; None as soon as one is off, or where it can't be told."""
    wanted = _frames(film, first, last)
    stand = Stand(pictures.picture(first))
    if not all(stand.holds(pictures.picture(number)) for number in wanted[1:]):
        return None
    return Stillness(wanted, stand.away_px)


def _unchanged(begin: Grey, picture: Grey) -> bool | None:
    """Whether a picture in which nothing can be followed, bare or of one pattern, is the first one still.

    A camera that moves leaves no edge across its way where it was; a runner takes few with him. None where
    nothing stands across a way but what moved itself, in a few places: it may be a runner before a still
    camera, or all that a camera that moves goes by.
    """
    one, two = (cv2.GaussianBlur(each, (0, 0), 1.0).astype(np.float32) for each in (begin, picture))
    other = np.abs(one - two) > _OTHER_LEVELS
    if other.mean() > _MOST_OTHER:
        return False
    near = cv2.dilate(other.astype(np.uint8), np.ones((_NEAR_PX, _NEAR_PX), np.uint8)) > 0
    stay = [
        _stays(np.abs(np.asarray(cv2.Sobel(one, cv2.CV_32F, *way, scale=0.125))) > _EDGE_LEVELS, near, axis)
        for axis, way in enumerate(((1, 0), (0, 1)))
    ]
    return False if False in stay else stay[0]  # lines that run sideways tell nothing of a pan


def _stays(edges: Bools, changed: Bools, axis: int) -> bool | None:
    """Whether edges across a way stand where they were; None where that can't be told. ``axis``: 0 for edges
    that a move sideways shows.
    """
    gone = edges & changed
    kept, left = int(np.count_nonzero(edges & ~changed)), int(np.count_nonzero(gone))
    if not left or kept >= max(_FEWEST_EDGES, left):
        return True
    along = np.flatnonzero(gone.any(axis=axis))
    gap = max(1.0, _APART * gone.shape[1 - axis])
    return None if 1 + int(np.count_nonzero(np.diff(along) > gap)) <= _MOST_PLACES else False


def even_frames(first: int, last: int) -> tuple[int, ...]:
    """Up to a dozen frames spread evenly, both ends among them."""
    even = np.linspace(first, last, min(_LOOKED_AT, last - first + 1)).round().astype(int)
    return tuple(int(n) for n in np.unique(even))


def _frames(film: Film, first: int, last: int) -> tuple[int, ...]:
    """Frames spread over the stretch, at key frames where there are enough: those are quick to reach."""
    keys = [n for n, entry in enumerate(film.index) if entry.key and first < n < last]
    even = even_frames(first, last)
    if len(keys) < len(even) - 2:
        return even
    nearest = {min(keys, key=lambda key, n=n: abs(key - n)) for n in even[1:-1]}  # type: ignore[misc]
    return tuple(sorted({first, *nearest, last}))
