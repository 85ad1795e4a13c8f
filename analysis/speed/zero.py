"""Clock zero: when the hips leave their rest."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Number, combine, normal
from analysis.ground.place import HipTrack
from analysis.values.estimate import NoValue
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

FORWARD_M = 0.020
"""How far forward of its rest the hip centre counts as gone (own; a threshold in the noise would lag)."""
REST_S = 0.200
"""How long it must have rested before, s."""
SIGMAS = 5.0
"""So many standard deviations of the rest must be less than ``FORWARD_M``."""
DENSE_S = 0.05
"""Places farther apart than this don't show a rest, s."""


def leaves_rest(track: HipTrack | NoValue, before_s: float) -> Number:
    """Time in s from the film's first frame at which the hip centre leaves its rest for good.

    The last time before ``before_s`` (front toe-off) at which the hip centre passes 20 mm forward of its rest
    position, after at least 200 ms of rest. Rest position: the median place of the rest. Where five standard
    deviations of the rest exceed 20 mm it can't be told. Uncertainty: of the places around the crossing over
    the speed there.
    """
    if isinstance(track, NoValue):
        return track
    inside = track.times_s < before_s
    t, x = track.times_s[inside], track.places.x[inside]
    first = _first_rest(t)
    if first is None:
        return NoValue(tr("The hip was not placed through at least 0.2 s of rest before the start."))
    slope, middle = np.polyfit(t[: first + 1] - t[0], x[: first + 1], 1)
    if abs(slope) * REST_S > FORWARD_M:
        return NoValue(
            tr("The hip moves from the first place on: place it through 0.2 s of rest before the start.")
        )
    sigma = float(np.std(x[: first + 1] - middle - slope * (t[: first + 1] - t[0]), ddof=2))
    if SIGMAS * sigma > FORWARD_M:
        return NoValue(
            tr("The hip's places at rest scatter by {mm:.0f} mm: too much to tell when it leaves.").format(
                mm=sigma * 1e3
            )
        )
    rest = _rest_length(x, first)
    line = float(np.median(x[:rest])) + FORWARD_M
    behind = np.flatnonzero(x <= line)
    last = int(behind[-1])
    if last + 1 >= len(t) or t[last + 1] - t[last] > DENSE_S:
        return NoValue(tr("The hip was not placed from its rest up to the front foot's toe-off."))
    rise = x[last + 1] - x[last]
    crossing = float(t[last] + (t[last + 1] - t[last]) * (line - x[last]) / rise)
    near = np.abs(t - crossing) <= DENSE_S
    rate = float(np.polyfit(t[near], x[near], 1)[0]) if near.sum() >= 2 else rise / (t[last + 1] - t[last])
    u = sigma * math.sqrt(1.0 + 1.57 / rest) / max(rate, 0.02)
    return combine(crossing, {normal(u): 1.0})


def _first_rest(t: Floats) -> int | None:
    """Index of the place that ends the first 0.2 s of dense places, or None."""
    wide = np.flatnonzero(np.diff(t) > DENSE_S)
    end = int(wide[0]) + 1 if len(wide) else len(t)
    first = int(np.searchsorted(t, t[0] + REST_S - 1e-9)) if len(t) else 0
    return first if 3 <= first < end else None


def _rest_length(x: Floats, first: int) -> int:
    """How many of the first places show the rest: up to the first that is 20 mm away, less a fifth of them,
    to keep clear of the movement itself.
    """
    gone = np.flatnonzero(np.abs(x - float(np.median(x[: first + 1]))) > FORWARD_M)
    held = int(gone[0]) if len(gone) else len(x)
    return max(first + 1, int(held * 0.8))
