"""Frames and confidence of the contacts of a run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.chances import Chances, chances_of
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.refine import foremost
from analysis.derive.footfalls.rhythm import in_rhythm
from analysis.derive.footfalls.signals import landing, leaving
from analysis.derive.footfalls.slow_timing import timed_slowly
from analysis.derive.footfalls.strip import GroundStrip
from analysis.derive.footfalls.timed import Timed
from analysis.derive.footfalls.tip_motion import LEAST_RATE_HZ

Floats = npt.NDArray[np.float64]

_RIGHT_S = 2 / 240
"""Within so much an event is right."""


def timed(
    strip: GroundStrip, streaks: Sequence[Streak], body: BodyPath, seconds: Floats, forwards: float
) -> list[Timed]:
    """Touchdown and toe-off of each contact; ``forwards`` is 1 for a run to the right, -1 to the left."""
    if not streaks:
        return []
    rate, height_px = 1.0 / float(np.median(np.diff(seconds))), body.height_px
    streaks = [replace(one, tip=foremost(strip, one, height_px, forwards)) for one in streaks]
    if rate < LEAST_RATE_HZ:
        return timed_slowly(strip, streaks, height_px, rate)
    downs, ups = [], []
    for one in streaks:
        downs.append(chances_of(landing(strip, one, height_px, rate, forwards), one.begin, rate, "touchdown"))
        ups.append(chances_of(leaving(strip, one, height_px, rate, forwards), one.end, rate, "toe-off"))
    last = len(seconds) - 1
    shown = [(one.begin > 1, one.end < last) for one in streaks]
    downs, ups = in_rhythm(downs, ups, [all(both) for both in shown], rate)
    out = []
    for one, down, up, (begins, ends) in zip(streaks, downs, ups, shown, strict=True):
        first = min(max(_frame(down), 0), last) if begins else None
        leaves = min(max(_frame(up), 0), last) if ends else None
        out.append(Timed(one, first, leaves, _confidence(down, up, rate)))
    return out


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


_SLOPE, _OFFSET = 0.79, -0.6
"""Fitted to drawn runs of which the nets had not been."""


def come_true(chance: float) -> float:
    """A chance by the signals alone as drawn runs made it come true: a straight line in log odds."""
    odds = math.log(min(max(chance, 0.01), 0.999) / (1 - min(max(chance, 0.01), 0.999)))
    return round(1.0 / (1.0 + math.exp(-(_SLOPE * odds + _OFFSET))), 3)
