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
from analysis.derive.footfalls.tip_motion import LEAST_RATE_HZ, comes_to_rest, sets_off

Floats = npt.NDArray[np.float64]
Signs = tuple[float, ...]

_UNLIKE_S = 0.020
"""A contact that lasts so much otherwise than the others of its run is looked at in other ways."""
_ALIKE_S, _ROLLS_S = 0.017, 0.035
"""What rests and what moves agree on a toe-off where what rests tells it so little later, or so little
earlier as a foot that rolls over its tip makes it.
"""
_SOFT_S = 0.0075
"""So long a landing foot may seem to rest already."""


@dataclass(frozen=True)
class Timed:
    """A contact's streak, its frames (None where film or picture cut it off), and how sure they are."""

    streak: Streak
    touchdown: int | None
    toe_off: int | None
    confidence: float
    signs: Signs = ()


def timed(
    strip: GroundStrip, streaks: Sequence[Streak], body: BodyPath, seconds: Floats, forwards: float
) -> list[Timed]:
    """Touchdown and toe-off of each contact; ``forwards`` is 1 for a run to the right, -1 to the left."""
    if not streaks:
        return []
    rate = 1.0 / float(np.median(np.diff(seconds)))
    streaks = [replace(one, tip=foremost(strip, one, body.height_px, forwards)) for one in streaks]
    downs = [_down(strip, one, body.height_px, rate, forwards) for one in streaks]
    ups = [_ups(strip, one, body.height_px, rate, forwards) for one in streaks]
    whole = [one.begin > 1 and one.end < len(seconds) - 1 for one in streaks]
    chosen = _agreeing(downs, ups, rate, whole)
    usual = _trend([(up.frame - down.frame) / rate for down, up in zip(downs, chosen, strict=True)])
    out = []
    for one, down, up, ways, contact in zip(streaks, downs, chosen, ups, usual, strict=True):
        signs = _signs(down, up, ways.ways, contact, rate, strip.canvas.maps is not None)
        first = None if one.begin <= 1 else math.ceil(down.frame - 0.05)
        last = None if one.end >= len(seconds) - 1 else math.ceil(up.frame - 0.05)
        out.append(Timed(one, first, last, confidence(signs), signs))
    return out


@dataclass(frozen=True)
class _Ups:
    """A toe-off as several ways tell it: the one to believe by itself, all of them, and whether what rests
    and what moves agree.
    """

    best: Edge
    ways: tuple[Edge, ...]
    agree: bool


def _down(strip: GroundStrip, one: Streak, height_px: float, rate: float, forwards: float) -> Edge:
    """A foot hardly moves in its last hundredth of a second; what rests is seen before what moves is gone."""
    edge = touchdown(strip, one, height_px, rate)
    if rate < LEAST_RATE_HZ:
        return replace(edge, frame=edge.frame + _SOFT_S * rate)
    rests = comes_to_rest(strip, one, height_px, rate, forwards)
    if rests is None:
        return edge
    return replace(edge, frame=float(np.clip(rests, edge.frame, edge.frame + _SOFT_S * rate)))


def _ups(strip: GroundStrip, one: Streak, height_px: float, rate: float, forwards: float) -> _Ups:
    ways = toe_offs(strip, one, height_px, rate)
    if rate < LEAST_RATE_HZ:
        return _Ups(ways[0], ways, True)
    whole, few, bare = ways
    moves = sets_off(strip, one, height_px, rate, forwards)
    if moves is None:
        return _Ups(whole, ways, False)
    # Its edges seem to rest a little after it set off, and the last of them long before where it rolls.
    frame = float(np.clip(whole.frame, moves.seen - 0.5, moves.seen + 0.5))
    agree = -_ALIKE_S <= (moves.seen - whole.frame) / rate <= _ROLLS_S
    sharp = whole.sharpness if agree else 0.5 * whole.sharpness
    others = (whole, few, Edge(moves.seen, sharp), bare, Edge(moves.since, sharp))
    return _Ups(Edge(frame, sharp), others, agree)


def _agreeing(downs: Sequence[Edge], ups: Sequence[_Ups], rate: float, whole: Sequence[bool]) -> list[Edge]:
    """Each contact's best toe-off, unless it would then last much otherwise than the run's others, or its
    ways do not agree: then the way that comes nearest to the others. ``whole``: which contacts the
    film shows from touchdown to toe-off.
    """
    sure = [k for k, one in enumerate(ups) if one.agree and whole[k]]
    sure = sure if len(sure) >= 2 else list(range(len(ups)))
    contacts = [(up.best.frame - down.frame) / rate for down, up in zip(downs, ups, strict=True)]
    usual = _trend([contacts[k] for k in sure], sure, len(ups))
    out = []
    for down, one, contact in zip(downs, ups, usual, strict=True):
        best = abs((one.best.frame - down.frame) / rate - contact)
        if one.agree and best <= max(_UNLIKE_S, 1.2 / rate):
            out.append(one.best)
            continue
        off = [abs((up.frame - down.frame) / rate - contact) for up in one.ways]
        nearest = int(np.argmin(off))
        out.append(one.ways[nearest] if off[nearest] < best else one.best)
    return out


def _trend(
    contacts: Sequence[float], numbers: Sequence[int] | None = None, count: int | None = None
) -> list[float]:
    """What each of ``count`` contacts lasts by the others, a straight line through the middle of all slopes,
    s. ``numbers``: which contacts are given; all where None.
    """
    places = np.arange(len(contacts)) if numbers is None else np.asarray(numbers)
    wanted = range(len(contacts) if count is None else count)
    values = np.asarray(contacts)
    if len(values) < 3:
        return list(contacts) if numbers is None else [float(values.mean())] * len(wanted)
    i, j = np.triu_indices(len(values), 1)
    slope = float(np.median((values[j] - values[i]) / (places[j] - places[i])))
    level = float(np.median(values - slope * places))
    return [level + slope * k for k in wanted]


def _signs(down: Edge, up: Edge, ways: tuple[Edge, ...], contact: float, rate: float, moves: bool) -> Signs:
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


def confidence(signs: Signs) -> float:
    """The chance that both events are right, from what speaks against them; fitted to drawn runs."""
    total = _WEIGHTS[0] + sum(w * s for w, s in zip(_WEIGHTS[1:], signs, strict=True))
    return round(1.0 / (1.0 + math.exp(-total)), 3)
