"""A curve over the frames, read at events that lie between two of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from analysis.body.places import NEAR_S, Moment
from analysis.values.posture import Series

Floats = npt.NDArray[np.float64]

TURN_U = 300.0
"""How fast a limb may turn where no second frame tells, standard uncertainty, deg/s (own assumption)."""


class AtEvent(NamedTuple):
    """A value and its standard uncertainty at an event; ``frames``, ``partial``, ``guessed``: see Place."""

    value: float
    u: float
    frames: tuple[int, ...]
    partial: bool
    guessed: bool


@dataclass(frozen=True, eq=False)
class Moments:
    """Moments of a run, ``each`` of them."""

    each: Sequence[Moment]

    @cached_property
    def frames(self) -> npt.NDArray[np.int64]:
        """Their tagged frames, (n,)."""
        return np.array([moment.frame for moment in self.each], dtype=np.int64)

    @cached_property
    def times_s(self) -> Floats:
        """Their most likely times, s of film time, (n,)."""
        return np.array([moment.seconds for moment in self.each])

    @cached_property
    def u_s(self) -> Floats:
        """Standard uncertainties of these, s, (n,)."""
        return np.array([moment.time.std_dev for moment in self.each])


def at_events(series: Series, moments: Moments, seconds: Floats) -> list[AtEvent | None]:
    """``at_event`` of many moments; all that lie between two frames that hold the series are read at once."""
    at, held = moments.frames, series.frames
    here = np.minimum(np.searchsorted(held, at), len(held) - 1)
    before = np.maximum(here - 1, 0)
    between = (held[here] == at) & (held[before] == at - 1)
    gap = np.where(between, seconds[at] - seconds[at - 1], 1.0)
    away = moments.times_s - seconds[at]
    share = np.clip(-away / gap, 0.0, 1.0)
    rate = (series.value[here] - series.value[before]) / gap
    u = np.hypot((1.0 - share) * series.u[here] + share * series.u[before], rate * moments.u_s)
    value, guessed = series.value[here] + rate * away, series.guessed[here] | series.guessed[before]
    found = zip(moments.each, between.tolist(), value.tolist(), u.tolist(), guessed.tolist(), strict=True)
    return [
        AtEvent(v, u_of_it, (moment.frame - 1, moment.frame), False, guess)
        if inside
        else at_event(series, moment, seconds)
        for moment, inside, v, u_of_it, guess in found
    ]


def at_event(series: Series, moment: Moment, seconds: Floats) -> AtEvent | None:
    """A series at an event's estimate: between the frames on either side, else from the one of them that
    holds it, moved at the rate that the nearest frames within 60 ms tell, else partial. ``|rate| u(event)``
    is added. None where neither frame holds it.
    """
    frames = series.frames
    row = int(np.searchsorted(frames, moment.frame))
    here = row < len(frames) and int(frames[row]) == moment.frame
    before = row > 0 and int(frames[row - 1]) == moment.frame - 1
    if not here and not before:
        return None
    at = row if here else row - 1
    other = row - 1 if here and before else _beside(frames, at, seconds)
    away = moment.seconds - float(seconds[frames[at]])
    if other is None:
        spread = TURN_U * math.hypot(away, float(moment.time.std_dev))
        u = math.hypot(float(series.u[at]), spread)
        return AtEvent(float(series.value[at]), u, (int(frames[at]),), True, bool(series.guessed[at]))
    gap = float(seconds[frames[at]] - seconds[frames[other]])
    rate = float(series.value[at] - series.value[other]) / gap
    if here and before:
        share = min(1.0, max(0.0, -away / gap))
        own = (1.0 - share) * float(series.u[at]) + share * float(series.u[other])
    else:
        own = float(series.u[at])
    u = math.hypot(own, rate * float(moment.time.std_dev))
    rows = sorted((at, other))
    guessed = bool(series.guessed[rows].any())
    return AtEvent(
        float(series.value[at]) + rate * away, u, tuple(int(frames[r]) for r in rows), False, guessed
    )


def _beside(frames: npt.NDArray[np.int64], at: int, seconds: Floats) -> int | None:
    """The nearest row beside one, within 60 ms."""
    near = [
        row
        for row in (at - 1, at + 1)
        if 0 <= row < len(frames)
        and frames[row] < len(seconds)
        and abs(float(seconds[frames[row]] - seconds[frames[at]])) <= NEAR_S
    ]
    return min(near, key=lambda row: abs(int(frames[row]) - int(frames[at])), default=None)
