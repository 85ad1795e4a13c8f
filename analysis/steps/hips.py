"""The hip centre at an event, and the step velocity that follows from it."""

from __future__ import annotations

import math

import numpy as np

from analysis.ground.carried import Number, normal, widened
from analysis.ground.near import within_reach
from analysis.ground.place import HipTrack
from analysis.steps.events import Event
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.words import tr

NEAR_S = 0.025
"""Points this close to an event give the rate there by a straight line, s."""
WIDEST_GAP_S = 0.06
"""A hip between two points farther apart than this is not read from both, s (own assumption)."""
RATE_U = 0.3
"""How far the hip's speed at an event may be from its mean between the nearest points, m/s (own
assumption)."""
SHARPEST_M_S2 = 10.0
"""Largest acceleration of the hip to expect between two points, m/s2 (own assumption)."""


def hip_at(track: HipTrack | NoValue, event: Event | None) -> Number:
    """Place of the hip centre at an event's estimate ``t_i - d/2``, m.

    The place on the tagged frame moved by rate x (event - frame time), so that the event's own error is
    carried with it (``|rate| u(event)``, correlated with every duration that rests on the event). The rate is
    the slope through the points around the event, else that between the nearest points before and after.
    Where the frame before holds a point too, or the tagged frame has none, the place is that between two
    points
    close together; else that of the nearest point within reach (``analysis.ground.near``), moved to the
    event at the same rate.
    """
    if isinstance(track, NoValue):
        return track
    if event is None:
        return NoValue(tr("The event is not tagged."))
    found = int(np.searchsorted(track.frames, event.frame))
    on_frame = found < len(track) and track.frames[found] == event.frame
    rate, rate_u = _rate(track, event.seconds)
    before, after = found - 1, found
    gap = float(track.times_s[after] - track.times_s[before]) if 0 < found < len(track) else math.inf
    if gap <= (2.01 * event.behind_s if on_frame else WIDEST_GAP_S):
        share = (event.seconds - float(track.times_s[before])) / gap
        place = (1 - share) * track.places.carried(before) + share * track.places.carried(after)
        place = widened(place, normal(SHARPEST_M_S2 * gap * gap / 8 / math.sqrt(3.0)))
        at, rate_u = event.seconds, 0.0
    elif on_frame:
        place, at = track.places.carried(found), float(track.times_s[found])
    else:
        nearest = _nearest(track, event, found)
        if nearest is None:
            return NoValue(tr("Place the hip on frame {frame}.").format(frame=event.frame))
        place, at = track.places.carried(nearest), float(track.times_s[nearest])
    if rate is None:
        return NoValue(tr("The hip stands on one frame only: place it at every touchdown and toe-off."))
    shift = rate * (event.time - at)
    away = abs(event.seconds - at)
    moved = place + shift
    return widened(moved, normal(rate_u * away)) if away * rate_u > 0 else moved


def step_velocity(step: StepTimes, begin: Number, end: Number) -> Number:
    """Forward travel of the hip centre between touchdowns k and k+1 / step time k, m/s."""
    if isinstance(step.step_time, NoValue):
        return step.step_time
    if isinstance(begin, NoValue):
        return begin
    return end if isinstance(end, NoValue) else (end - begin) / step.step_time


def _nearest(track: HipTrack, event: Event, found: int) -> int | None:
    """The point next to an event within reach; ``found``: the first point after its tagged frame."""
    tagged_s = event.seconds + event.behind_s
    beside = [
        n
        for n in (found - 1, found)
        if 0 <= n < len(track)
        and within_reach(int(track.frames[n]) - event.frame, float(track.times_s[n]) - tagged_s)
    ]
    return min(beside, key=lambda n: abs(float(track.times_s[n]) - event.seconds), default=None)


def _rate(track: HipTrack, time_s: float) -> tuple[float | None, float]:
    """Speed of the hip at a time and its standard uncertainty, m/s; None where only one frame holds a hip."""
    times, x = track.times_s, track.places.x
    if len(times) < 2:
        return None, 0.0
    near = np.abs(times - time_s) <= NEAR_S
    if near.sum() >= 3 and times[near].min() < time_s < times[near].max():
        t = times[near] - times[near].mean()
        square = float(t @ t)
        own = float(np.sqrt(np.mean(track.places.own[near] ** 2)))
        return float(t @ x[near]) / square, own / math.sqrt(square)
    after = int(np.clip(np.searchsorted(times, time_s), 1, len(times) - 1))
    before = after - 1
    if times[after] - time_s < (times[after] - times[before]) * 0.25 and after + 1 < len(times):
        after += 1  # the event falls just before a point: the mean over both sides of it is nearer the truth
    return float((x[after] - x[before]) / (times[after] - times[before])), RATE_U
