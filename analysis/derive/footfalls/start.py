"""The start push: which stands before the run belong to the set position, and when its feet leave."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.refine import toe_offs
from analysis.derive.footfalls.set_feet import SetFoot, set_feet
from analysis.derive.footfalls.strip import GroundStrip
from analysis.values.film import FrameNumber
from analysis.values.run import Side, StartPush

Floats = npt.NDArray[np.float64]

_RESTS_S = 0.12
"""What stood so long before a streak began was there before it."""
_BEFORE_S = 0.2
_SET, _SLOW, _SLOW_S = 0.15, 0.30, 0.2
"""Body heights from its place of rest, and in so many seconds, under which a body has not begun to run."""
_RESTED_S, _HOLDS_S = 0.1, 0.15
"""A body that was seen so long before it moved rested; one that holds so long while it moves does not."""
_APART = 0.14
"""Body heights between the tips of the rear and the front foot at least."""

_BEHIND, _BESIDE = 0.2, 0.05
"""Body heights behind the body in which no foot lands; beside a foot of the set position that are its too."""
_AT_REST = 0.1
"""Body heights that a body at rest goes in ``_RESTS_S`` at the most; running it goes five times as far."""
_FLIGHT_S, _AGAIN_S = 0.12, 0.35
"""So long after the front foot left the first step comes at the latest; so much longer is looked at, should
what is taken for the first step be the front foot itself.
"""


def find_start(
    strip: GroundStrip,
    streaks: Sequence[Streak],
    body: BodyPath,
    seconds: Floats,
    forwards: float,
    first_side: Side,
) -> tuple[StartPush, list[Streak]]:
    """The start push, and the streaks without those of the set position."""
    steps = list(streaks)
    while len(steps) > 1 and (
        _stood_before(strip, steps[0], body, seconds) or _still_set(steps[0], body, seconds)
    ):
        steps.pop(0)
    if not steps:
        return StartPush(), steps
    if strip.canvas.maps is not None:
        return _before_a_moving_camera(strip, steps, body, seconds, forwards, first_side)
    first = steps[0]
    reach = round(0.9 * body.height_px)
    low, high = max(0, round(body.u[0]) - reach), min(strip.stands.shape[1], round(body.u[0]) + reach + 1)
    until = first.begin
    rest = max(2, int(np.searchsorted(seconds, _RESTS_S)))
    if until <= rest or abs(body.u[min(until, len(body.u) - 1)] - body.u[0]) > 1.5 * body.height_px:
        return StartPush(), steps
    stands = strip.rests[:until, low:high] >= 1
    resting = np.flatnonzero(stands[: rest + 1].mean(axis=0) > 0.7)
    if len(resting) == 0:
        return StartPush(), steps
    ends = np.array([_stands_until(stands[:, c]) for c in resting])
    columns = resting + low
    return _push(strip, columns, ends, first, body, seconds, forwards, first_side), steps


def _before_a_moving_camera(
    strip: GroundStrip,
    steps: list[Streak],
    body: BodyPath,
    seconds: Floats,
    forwards: float,
    first_side: Side,
) -> tuple[StartPush, list[Streak]]:
    """The same where the ground under the set position may never be seen bare."""
    height_px, rate = body.height_px, 1.0 / float(np.median(np.diff(seconds)))
    while len(steps) > 1 and forwards * (steps[0].column - body.u[steps[0].begin]) < -_BEHIND * height_px:
        steps.pop(0)
    rested = min(round(_RESTS_S * rate), len(body.u) - 1)
    if abs(body.u[rested] - body.u[0]) > _AT_REST * height_px:
        return StartPush(), steps  # one who comes in running
    until = steps[0].begin + round(_AGAIN_S * rate)
    feet = set_feet(strip, steps[0], height_px, seconds, until, forwards)
    for place, step in enumerate(steps[:2]):
        earliest, latest = step.begin - _FLIGHT_S * rate, step.begin + 0.02 * rate
        fronts = [
            one for one in feet
            if earliest <= one.leaves <= latest and forwards * (step.column - one.tip) > 0
        ]  # fmt: skip
        if not fronts or not all(_is_on(one, feet, height_px) for one in steps[:place]):
            continue
        front = fronts[-1]
        if any(one.leaves > front.leaves and forwards * (one.tip - front.tip) > 0 for one in feet):
            continue  # one farther in front stood longer
        behind = [
            one for one in feet
            if one.leaves < front.leaves - 0.02 * rate
            and forwards * (front.tip - one.tip) > _APART * height_px
        ]  # fmt: skip
        rear = max(behind, key=lambda one: one.end - one.begin).leaves if behind else None
        start = StartPush(
            first_movement=in_order(_first_movement(body, front.leaves, rate), rear),
            rear_toe_off=None if rear is None else FrameNumber(rear),
            front_toe_off=FrameNumber(front.leaves),
            front_side=first_side.other,
        )
        return start, steps[place:]
    return StartPush(), steps


def _is_on(step: Streak, feet: Sequence[SetFoot], height_px: float) -> bool:
    """Whether a streak is one of the feet of the set position."""
    reach = _BESIDE * height_px
    return any(
        one.begin - reach <= step.column <= one.end + reach and step.begin < one.leaves for one in feet
    )


def _stood_before(strip: GroundStrip, one: Streak, body: BodyPath, seconds: Floats) -> bool:
    """Whether something stood at a streak's place for long before it, near where the body rested."""
    if abs(one.column - body.u[max(0, one.begin - 1)]) > body.height_px:
        return False
    reach = max(2, round(0.08 * body.height_px))
    begin = max(0, round(one.column) - reach)
    rest = int(np.searchsorted(seconds, seconds[one.begin] - _BEFORE_S))
    if rest <= 0:
        return one.begin <= 2
    before = strip.rests[rest : one.begin, begin : round(one.column) + reach + 1] >= 1
    return bool((before.mean(axis=0) > 0.9).sum() >= 2)


def _still_set(one: Streak, body: BodyPath, seconds: Floats) -> bool:
    """Whether the body has hardly left where it rested, and goes slowly, when a streak begins."""
    moving = np.flatnonzero(body.there)
    first = int(moving[0])
    later = min(int(np.searchsorted(seconds, seconds[one.begin] + _SLOW_S)), len(seconds) - 1)
    gone = abs(body.u[one.begin] - body.u[first]) / body.height_px
    goes = abs(body.u[later] - body.u[one.begin]) / body.height_px
    return bool(one.begin <= first or (gone < _SET and goes < _SLOW))


def _stands_until(stands: npt.NDArray[np.bool_]) -> int:
    gone = np.flatnonzero(~stands)
    later = gone[gone > int(np.argmax(stands))]
    return int(later[0]) if len(later) else len(stands)


def _push(
    strip: GroundStrip,
    columns: npt.NDArray[np.int64],
    ends: npt.NDArray[np.int64],
    first: Streak,
    body: BodyPath,
    seconds: Floats,
    forwards: float,
    first_side: Side,
) -> StartPush:
    rate = 1.0 / float(np.median(np.diff(seconds)))
    last = int(np.quantile(ends, 0.97))
    latest = columns[ends >= last - max(1, round(0.02 * rate))]
    front_tip = float(np.median(latest))
    front = _leaves(strip, front_tip, last, body, rate)
    if front is None or front > first.begin + round(0.02 * rate) or front < first.begin - round(0.25 * rate):
        return StartPush()
    behind = forwards * (front_tip - columns) > _APART * body.height_px
    rear = None
    if behind.sum() >= 2:
        end = int(np.quantile(ends[behind], 0.9))
        tips = columns[behind][ends[behind] >= end - max(1, round(0.02 * rate))]
        rear = _leaves(strip, float(np.median(tips)), end, body, rate)
        if rear is not None and rear >= front:
            rear = None
    return StartPush(
        first_movement=in_order(_first_movement(body, front, rate), rear),
        rear_toe_off=None if rear is None else FrameNumber(rear),
        front_toe_off=FrameNumber(front),
        front_side=first_side.other,
    )


def _leaves(strip: GroundStrip, tip: float, end: int, body: BodyPath, rate: float) -> int | None:
    begin = max(0, end - round(0.15 * rate))
    if end - begin < 3:
        return None
    ways = toe_offs(strip, Streak(begin, end, tip, tip, 1.0), body.height_px, rate)
    return math.ceil(ways[0].frame - 0.05)


def _first_movement(body: BodyPath, front: int, rate: float) -> FrameNumber | None:
    """The first frame from which the body moves on until the front foot leaves, after some rest; it may hold
    for a moment.
    """
    moves = np.flatnonzero(body.there[:front])
    if len(moves) == 0 or front - moves[-1] > _HOLDS_S * rate:
        return None
    breaks = np.flatnonzero(np.diff(moves) > _HOLDS_S * rate)
    begin = int(moves[breaks[-1] + 1]) if len(breaks) else min(int(moves[0]), round(body.stirs))
    if begin < round(_RESTED_S * rate):
        return None
    return FrameNumber(begin)


def in_order(first_movement: FrameNumber | None, rear: int | None) -> FrameNumber | None:
    """The first movement, but for one after the rear foot left: that was seen too late."""
    if first_movement is None or rear is None or first_movement < rear:
        return first_movement
    return None
