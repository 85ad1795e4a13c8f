"""How large a cover is where a face was not followed, and where placing the face would make it small."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.words import tr

_WIDER = 0.35
"""Share of the half axes by which a cover is larger at least on a straight way between two places (own)."""
_HALF_A_FACE_M = 0.115
"""Half of a head's height, from memory; a cover is as large or larger, so that it tells the scale safely."""
_QUICKER_M_S2 = (12.0, 5.0)
"""So much at most a head gains speed along and up in the picture, from standing still to the first steps
(own, above what the sample clips show)."""
_LARGE = 3.0
"""A cover so many times as large as the face hides much of the picture (own)."""

Seconds = npt.NDArray[np.float64]
Halves = tuple[float, float]


@dataclass(frozen=True)
class LargeGuess:
    """A stretch on which a cover is large. ``times``: the face's size at most; ``place_on``: the frame on
    which placing the face helps most.
    """

    first: int
    last: int
    times: float
    place_on: int

    @property
    def words(self) -> str:
        """What to do about it."""
        words = tr(
            "on frames {first} to {last} its cover is up to {times:.0f} times as large as the face: place "
            "the face on frame {frame}, and it becomes smaller"
        )
        return words.format(first=self.first, last=self.last, times=self.times, frame=self.place_on)


def slack_px(at: Seconds, one: FacePlace, other: FacePlace, frame: int) -> Halves:
    """How far a head may be off the straight way between two places, px along u and v: what a change of speed
    makes of it at most. ``at``: when each frame was taken, s.
    """
    room_s2 = float((at[frame] - at[one.frame]) * (at[other.frame] - at[frame]))
    px_per_m = max(one.half_v, other.half_v) / _HALF_A_FACE_M
    along, up = (quicker / 2 * room_s2 * px_per_m for quicker in _QUICKER_M_S2)
    return along, up


def guessed_halves(way: FacePlace, slack: Halves) -> Halves:
    """The half axes of a cover that reaches as far as a head may be off, px. ``way``: on the straight way."""
    across, down = (
        half + max(_WIDER * half, far) for half, far in zip((way.half_u, way.half_v), slack, strict=True)
    )
    return across, down


def large_guesses(at: Seconds, cover: FaceCover, frames: Iterable[int]) -> tuple[LargeGuess, ...]:
    """Where a cover is large if the face is followed on none of these frames."""
    wanted = np.unique(np.fromiter(frames, int))
    found = (
        _large(at, one, other, wanted[(wanted > one.frame) & (wanted < other.frame)].tolist())
        for one, other in pairwise(cover.places)
        if not (one.gone or other.gone)
    )
    return tuple(guess for guess in found if guess is not None)


def _large(at: Seconds, one: FacePlace, other: FacePlace, frames: Sequence[int]) -> LargeGuess | None:
    sizes = {frame: _times(at, one, other, frame) for frame in frames}
    large = {frame: size for frame, size in sizes.items() if size >= _LARGE}
    if not large:
        return None
    worst = max(large, key=lambda frame: large[frame])
    return LargeGuess(min(large), max(large), large[worst], worst)


def _times(at: Seconds, one: FacePlace, other: FacePlace, frame: int) -> float:
    """How many times as large as the face a cover that guesses is."""
    way = one.towards(other, frame)
    across, down = guessed_halves(way, slack_px(at, one, other, frame))
    return max(across / way.half_u, down / way.half_v)
