"""Clock zero: when the hips leave their rest."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Number, normal
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
    rest = _rest(t, x)
    if rest is None:
        return NoValue(tr("The hip was not placed through at least 0.2 s of rest before the start."))
    sigma = float(np.std(x[:rest], ddof=1))
    if SIGMAS * sigma > FORWARD_M:
        return NoValue(
            tr("The hip's places at rest scatter by {mm:.0f} mm: too much to tell when it leaves.").format(
                mm=sigma * 1e3
            )
        )
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
    return crossing + normal(u)


def _rest(t: Floats, x: Floats) -> int | None:
    """How many of the first places show a rest, or None: at least 0.2 s of them, close together, none 20 mm
    away.
    """
    if len(t) < 3:
        return None
    wide = np.flatnonzero(np.diff(t) > DENSE_S)
    end = int(wide[0]) + 1 if len(wide) else len(t)
    first = int(np.searchsorted(t, t[0] + REST_S - 1e-9))
    if first >= end:
        return None
    middle = float(np.median(x[: first + 1]))
    gone = np.flatnonzero(np.abs(x[:end] - middle) > FORWARD_M)
    if len(gone) and gone[0] <= first:
        return None
    # the rest ends where the places stop scattering about it: keep clear of the movement itself
    held = int(gone[0]) if len(gone) else end
    return max(first + 1, int(held * 0.8))
