"""Frames and confidence of the contacts of a run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.refine import Edge, foremost, toe_offs, touchdown
from analysis.derive.footfalls.strip import GroundStrip

Floats = npt.NDArray[np.float64]

_UNLIKE_S = 0.016
"""A contact that lasts so much otherwise than the others of its run is looked at in other ways."""


@dataclass(frozen=True)
class Timed:
    """A contact's streak, its frames (None where film or picture cut it off), and how sure they are."""

    streak: Streak
    touchdown: int | None
    toe_off: int | None
    confidence: float
    signs: tuple[float, ...] = ()


def timed(
    strip: GroundStrip, streaks: Sequence[Streak], body: BodyPath, seconds: Floats, forwards: float
) -> list[Timed]:
    """Touchdown and toe-off of each contact; ``forwards`` is 1 for a run to the right, -1 to the left."""
    rate = 1.0 / float(np.median(np.diff(seconds)))
    streaks = [replace(one, tip=foremost(strip, one, body.height_px, forwards)) for one in streaks]
    downs = [touchdown(strip, one, body.height_px, rate) for one in streaks]
    ups = [toe_offs(strip, one, body.height_px, rate) for one in streaks]
    chosen = _agreeing(downs, ups, rate)
    usual = _trend([(up.frame - down.frame) / rate for down, up in zip(downs, chosen, strict=True)])
    out = []
    for one, down, up, both, contact in zip(streaks, downs, chosen, ups, usual, strict=True):
        signs = _signs(one, down, up, both, contact, rate, body.height_px)
        first = None if one.begin <= 1 else math.ceil(down.frame - 0.05)
        last = None if one.end >= len(seconds) - 1 else math.ceil(up.frame - 0.05)
        out.append(Timed(one, first, last, confidence(signs), signs))
    return out


def _agreeing(downs: Sequence[Edge], ups: Sequence[tuple[Edge, ...]], rate: float) -> list[Edge]:
    """The first way's toe-off, unless the contact would then last much otherwise than the run's others and
    another way does not.
    """
    usual = _trend([(ways[0].frame - down.frame) / rate for down, ways in zip(downs, ups, strict=True)])
    out = []
    for down, ways, contact in zip(downs, ups, usual, strict=True):
        off = [abs((up.frame - down.frame) / rate - contact) for up in ways]
        nearest = int(np.argmin(off))
        out.append(
            ways[nearest] if off[0] > max(_UNLIKE_S, 1.2 / rate) and off[nearest] < 0.6 * off[0] else ways[0]
        )
    return out


def _trend(contacts: Sequence[float]) -> list[float]:
    """What each contact lasts by the others', a straight line through the middle of all slopes, s."""
    if len(contacts) < 3:
        return list(contacts)
    values = np.asarray(contacts)
    places = np.arange(len(values))
    i, j = np.triu_indices(len(values), 1)
    slope = float(np.median((values[j] - values[i]) / (j - i)))
    level = float(np.median(values - slope * places))
    return [level + slope * k for k in places]


def _signs(
    streak: Streak,
    down: Edge,
    up: Edge,
    ways: tuple[Edge, ...],
    contact: float,
    rate: float,
    height_px: float,
) -> tuple[float, ...]:
    """What speaks against a contact's frames, each 0 for nothing and 1 or so for much."""
    lasted = (up.frame - down.frame) / rate
    return (
        1.0 - min(1.0, streak.score),
        1.0 - down.sharpness,
        1.0 - up.sharpness,
        min(2.0, float(np.ptp([one.frame for one in ways])) / rate / 0.02),
        min(2.0, abs(lasted - contact) / 0.02),
        min(2.0, abs(streak.begin - down.frame - 1.0) / rate / 0.02),
        min(2.0, 80.0 / height_px),
    )


_WEIGHTS = (2.95, -1.53, -0.45, -1.52, -0.12, -1.16, -0.78, -0.17)


def confidence(signs: Sequence[float]) -> float:
    """The chance that both events are right, from what speaks against them; fitted to drawn runs."""
    total = _WEIGHTS[0] + sum(w * s for w, s in zip(_WEIGHTS[1:], signs, strict=True))
    return round(min(0.99, 1.0 / (1.0 + math.exp(-total))), 3)
