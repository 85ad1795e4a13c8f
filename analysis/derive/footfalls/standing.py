"""What stands still before bare ground, told from what moves and from what a shadow only weakens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.stacked import grown_each, share_of, slope_each

Levels = npt.NDArray[np.float32]
Bools = npt.NDArray[np.bool_]
Kept = TypeVar("Kept", Levels, Bools)

_OF_CONTRAST = 0.5
"""Share of its contrast by which what was followed may change while it stands."""


def still_within(noise: float) -> float:
    """Grey levels within which what rests keeps its own; ``noise``: of a quiet pixel."""
    return max(6.0, 3.6 * noise)


def edge_from(noise: float) -> float:
    """Grey levels per px from which on there is an edge; ``noise``: of a quiet pixel."""
    return max(2.0, 1.6 * noise)


def unlike_from(spread: Levels) -> Levels:
    """Grey levels from which on a foot differs from bare ground of such a ``spread``."""
    out: Levels = np.maximum(7.0, 3.5 * spread)
    return out


@dataclass(frozen=True, eq=False)
class Bare:
    """The bare ground in one part of the band, (rows, w): ``levels``; ``spread``: how far a look at it is off
    these, which is more where the camera's path shakes a rough ground; ``steep``: how steep its edges get.
    """

    levels: Levels
    spread: Levels
    steep: Levels

    @classmethod
    def seen_in(cls, looks: Levels, noise: float) -> Bare:
        """From looks (n, rows, w) at it; ``noise``: of a quiet pixel, grey levels."""
        levels = share_of(looks, 0.5)
        off = share_of(np.abs(looks - levels), 0.5)
        spread = np.maximum(1.4826 * cv2.blur(off, (3, 3)), noise).astype(np.float32)
        return cls(levels, spread, share_of(slope_each(looks), 0.75))

    def rows(self, part: slice) -> Bare:
        """Some rows of it."""
        return Bare(self.levels[part], self.spread[part], self.steep[part])


@dataclass(frozen=True)
class Limits:
    """``noise``: of a quiet pixel, grey levels; ``off_px``: how far edges may be off from frame to frame, as
    where a camera was followed; ``span``: frames that a foot stands at least.
    """

    noise: float
    off_px: int
    span: int


def standing(levels: Levels, bare: Bare, limits: Limits) -> tuple[Bools, Bools]:
    """Pixels of frames ``levels`` (n, rows, w) that differ from the bare ground, lie near an edge of their
    own, which stays over the span around, and hardly change there; and those at such an edge that rest.
    """
    if len(levels) < limits.span:
        return np.zeros(levels.shape, np.bool_), np.zeros(levels.shape, np.bool_)
    # A shadow only weakens what the ground shows: it has no edge of its own but the one that moves.
    steeper = bare.steep + edge_from(limits.noise)
    edges = slope_each(levels) > steeper
    reach, still = limits.off_px, np.float32(still_within(limits.noise))
    least = _over(np.abs(levels - bare.levels), limits.span, np.minimum)
    differs = least > unlike_from(bare.spread)
    changes = _over(levels, limits.span, np.maximum) - _over(levels, limits.span, np.minimum)
    quite = _over(edges, limits.span, np.logical_and) & differs & (changes < still)
    rests = _spread_over(quite, limits.span)
    if not reach:
        return rests, rests
    kept = _over(grown_each(edges, reach, reach), limits.span, np.logical_and)
    kept = grown_each(kept, reach, 2 * reach)
    hardly = kept & differs & (changes < np.maximum(still, _OF_CONTRAST * least))
    return _spread_over(hardly, limits.span), rests


def _spread_over(begins: Bools, span: int) -> Bools:
    """Every frame of the spans that begin in the frames given."""
    out = np.zeros((len(begins) + span - 1, *begins.shape[1:]), np.bool_)
    for step in range(span):
        out[step : step + len(begins)] |= begins
    return out


def slope(levels: Levels) -> Levels:
    """How steep the brightness is along the line, grey levels per pixel: what moves along it keeps no such
    edge in its place, though its upper and lower edges may stay.
    """
    return np.abs(np.asarray(cv2.Sobel(levels, cv2.CV_32F, 1, 0, scale=0.125), np.float32))


def _over(values: Kept, span: int, joined: Callable[[Kept, Kept], Kept]) -> Kept:
    """The values of each frame joined with those of the frames after it over a span, (n - span + 1, ...)."""
    done = 1
    while done < span:
        step = min(done, span - done)
        n = len(values) - step
        values = joined(values[:n], values[step : step + n])
        done += step
    return values
