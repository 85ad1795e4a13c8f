"""Frames and confidence of the contacts of a run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.chances import Chances, chances_of
from analysis.derive.footfalls.close_up import Kind, close_up_of
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.refine import with_foremost
from analysis.derive.footfalls.rhythm import in_rhythm
from analysis.derive.footfalls.slow_timing import timed_slowly
from analysis.derive.footfalls.strip import GroundStrip
from analysis.derive.footfalls.timed import Timed

Floats = npt.NDArray[np.float64]

LEAST_RATE_HZ = 45.0
"""Of fewer frames a second too few show a foot as it lands or leaves."""
_RIGHT_S = 2 / 240
"""Within so much an event is right."""
_FAR_S, _SHORTEST_S = 0.05, 0.05
"""So far from what the strip tells another look is worth it, if a stand of such length is left."""


def timed(
    strip: GroundStrip,
    streaks: Sequence[Streak],
    body: BodyPath,
    seconds: Floats,
    forwards: float,
    part: tuple[int, int],
) -> list[Timed]:
    """Touchdown and toe-off of each contact; ``forwards`` is 1 for a run to the right, -1 to the left.
    ``part``: first frame of what was looked at and the one after its last; a contact that it cuts has no
    event there.
    """
    if not streaks:
        return []
    rate, height_px = 1.0 / float(np.median(np.diff(seconds))), body.height_px
    streaks = with_foremost(strip, streaks, height_px, forwards)
    if rate < LEAST_RATE_HZ:
        return timed_slowly(strip, streaks, height_px, rate, part)
    scale = (height_px, rate, forwards)
    downs = [_told("touchdown", strip, one, scale) for one in streaks]
    ups = [_told("toe-off", strip, one, scale) for one in streaks]
    first, last = part[0], part[1] - 1
    shown = [(one.begin > first + 1, one.end < last) for one in streaks]
    downs, ups = in_rhythm(downs, ups, [all(both) for both in shown], rate)
    out = []
    for one, down, up, (begins, ends) in zip(streaks, downs, ups, shown, strict=True):
        lands = min(max(_frame(down), first), last) if begins else None
        leaves = min(max(_frame(up), first), last) if ends else None
        out.append(Timed(one, lands, leaves, _confidence(down, up, rate)))
    return out


def _told(kind: Kind, strip: GroundStrip, one: Streak, scale: tuple[float, float, float]) -> Chances:
    """How likely each moment is; looked at anew from there where it lies far from what the strip told."""
    event, rate = one.begin if kind == "touchdown" else one.end, scale[1]
    found = chances_of(close_up_of(kind, strip, one, scale), event, rate, kind)
    seen = math.ceil(found.best)
    moved = replace(one, begin=seen) if kind == "touchdown" else replace(one, end=seen)
    if abs(seen - event) <= _FAR_S * rate or moved.end - moved.begin < _SHORTEST_S * rate:
        return found
    return chances_of(close_up_of(kind, strip, moved, scale), seen, rate, kind)


def _frame(one: Chances) -> int:
    """The first frame after the event."""
    return math.ceil(one.best - 0.05)


def _confidence(down: Chances, up: Chances, rate: float) -> float:
    """The chance that both events are right."""
    chance = 1.0
    off = max(1, round(_RIGHT_S * rate))
    for one in (down, up):
        frame = _frame(one)
        chance *= one.within(frame - 1 - off, frame + off)
    return come_true(chance)


_CALLED = (0.0, 0.372, 0.615, 0.7, 0.773, 0.873, 0.962, 1.0)
_CAME_TRUE = (0.02, 0.49, 0.683, 0.795, 0.817, 0.892, 0.963, 0.98)
"""What chances by the nets alone came to in drawn runs that they never saw: `tests/bench/fit_sureness.py`."""


def come_true(chance: float) -> float:
    """A chance by the net alone as drawn runs made it come true."""
    return round(float(np.interp(chance, _CALLED, _CAME_TRUE)), 3)
