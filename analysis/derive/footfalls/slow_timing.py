"""Frames of contacts where a film has too few to follow a foot from one to the next: by what rests."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.refine import Edge, toe_offs, touchdown
from analysis.derive.footfalls.strip import GroundStrip
from analysis.derive.footfalls.timed import Timed

_UNLIKE_S = 0.020
"""A contact that lasts so much otherwise than the others of its run is looked at in other ways."""
_SOFT_S = 0.0075
"""So long a landing foot may seem to rest already."""


def timed_slowly(
    strip: GroundStrip, streaks: Sequence[Streak], height_px: float, rate: float, part: tuple[int, int]
) -> list[Timed]:
    """Touchdown and toe-off of each contact. ``part``: first frame of what was looked at, and the one after
    its last.
    """
    downs = [touchdown(strip, one, height_px, rate) for one in streaks]
    downs = [replace(one, frame=one.frame + _SOFT_S * rate) for one in downs]
    ways = [toe_offs(strip, one, height_px, rate) for one in streaks]
    ups = _alike(downs, ways, rate)
    usual = _trend([(up.frame - down.frame) / rate for down, up in zip(downs, ups, strict=True)])
    moves = strip.canvas.maps is not None
    out = []
    for one, down, up, edges, contact in zip(streaks, downs, ups, ways, usual, strict=True):
        lands = None if one.begin <= part[0] + 1 else math.ceil(down.frame - 0.05)
        leaves = None if one.end >= part[1] - 1 else math.ceil(up.frame - 0.05)
        out.append(Timed(one, lands, leaves, _confidence(_signs(down, up, edges, contact, rate, moves))))
    return out


def _alike(downs: Sequence[Edge], ways: Sequence[tuple[Edge, ...]], rate: float) -> list[Edge]:
    """Each contact's toe-off as what rests tells it, unless it would then last much otherwise than the run's
    others: then the way that comes nearest to these.
    """
    contacts = [(ups[0].frame - down.frame) / rate for down, ups in zip(downs, ways, strict=True)]
    out = []
    for down, ups, contact in zip(downs, ways, _trend(contacts), strict=True):
        off = [abs((up.frame - down.frame) / rate - contact) for up in ups]
        nearest = int(np.argmin(off))
        out.append(ups[0] if off[0] <= max(_UNLIKE_S, 1.2 / rate) else ups[nearest])
    return out


def _trend(contacts: Sequence[float]) -> list[float]:
    """What each contact lasts by the others, a straight line through the middle of all slopes, s."""
    if len(contacts) < 3:
        return list(contacts)
    places, values = np.arange(len(contacts)), np.asarray(contacts)
    i, j = np.triu_indices(len(values), 1)
    slope = float(np.median((values[j] - values[i]) / (places[j] - places[i])))
    level = float(np.median(values - slope * places))
    return [level + slope * k for k in places]


def _signs(
    down: Edge, up: Edge, ways: tuple[Edge, ...], contact: float, rate: float, moves: bool
) -> tuple[float, ...]:
    """What speaks against a contact's frames, each 0 for nothing and 1 or so for much; ``moves``: whether
    the camera did.
    """
    lasted = (up.frame - down.frame) / rate
    return (
        1.0 - down.sharpness,
        1.0 - up.sharpness,
        min(2.0, float(np.ptp([one.frame for one in ways])) / rate / 0.02),
        min(2.0, abs(lasted - contact) / 0.02),
        1.0 if moves else 0.0,
    )


_WEIGHTS = (1.97, -0.1, -0.4, -0.33, -0.49, -0.17)


def _confidence(signs: tuple[float, ...]) -> float:
    """The chance that both events are right, from what speaks against them; fitted to drawn runs."""
    total = _WEIGHTS[0] + sum(w * s for w, s in zip(_WEIGHTS[1:], signs, strict=True))
    return round(1.0 / (1.0 + math.exp(-total)), 3)
