"""Where each shoe stands on the ground, and the lengths between them."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence

import numpy as np

from analysis.ground.carried import Carried, Number, combine, normal
from analysis.ground.ground import Ground
from analysis.ground.place import place_shoes
from analysis.ground.points import PointsByName
from analysis.steps.events import Event
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.run import BodyPoint, Footfall, Side
from analysis.values.words import tr

OPEN_CONTACT_S = 0.25
"""How long after a touchdown without toe-off a shoe tip still counts as standing, s (own assumption)."""


def shoe_places(
    ground: Ground | NoValue, steps: Sequence[StepTimes], points: PointsByName, times: FrameTimes
) -> list[Number]:
    """Place of the shoe of each step, m: the median x of the shoe tip over the middle half of the contact.

    Where no tip stands in the middle half, every tip of the contact is taken. One click is enough; then its
    own error counts. The error of a median of n clicks is 1.25 / sqrt(n) of one click's (normal errors).
    """
    if isinstance(ground, NoValue):
        return [ground for _ in steps]
    return [_shoe(ground, step, points, times) for step in steps]


def set_shoe(
    ground: Ground | NoValue, side: Side | None, points: PointsByName, front_toe_off: Event | None
) -> Number:
    """Place of the front foot's shoe tip at the set position, m: every tip placed before it leaves the
    ground.
    """
    if isinstance(ground, NoValue):
        return ground
    if side is None or front_toe_off is None:
        return NoValue(tr("Say which foot is in front and tag its toe-off to measure from its shoe."))
    tips = [p for p in points.get(f"{side.value}_toe", ()) if p.frame < front_toe_off.frame]
    if not tips:
        return NoValue(tr("Place the front shoe's tip at the set position."))
    return _median(ground, tips, side)


def first_step_length(ground: Ground | NoValue, shoes: Sequence[Number], at_set: Number) -> Number:
    """Place of shoe 1 - start line, m; without a mark at 0 m, - the front shoe's tip at the set position."""
    if isinstance(ground, NoValue):
        return ground
    if not shoes:
        return NoValue(tr("No touchdown is tagged. Tag the first one."))
    if isinstance(shoes[0], NoValue):
        return shoes[0]
    if ground.has_start_line:
        return shoes[0]
    if isinstance(at_set, NoValue):
        return NoValue(
            tr(
                "Set a mark at 0 m on the start line, or the front shoe's tip at the set position, to read "
                "this length."
            )
        )
    return shoes[0] - at_set


def step_length(step: StepTimes, shoe: Number, next_shoe: Number | None) -> Number:
    """Place of the next step's shoe - place of this one's, m; none between two footfalls of one side."""
    if isinstance(step.step_time, NoValue) and step.following is None:
        return step.step_time
    if isinstance(shoe, NoValue):
        return shoe
    if next_shoe is None or isinstance(next_shoe, NoValue):
        return next_shoe if next_shoe is not None else NoValue(tr("There is no next shoe."))
    return next_shoe - shoe


def _shoe(ground: Ground, step: StepTimes, points: PointsByName, times: FrameTimes) -> Number:
    if step.broken is not None:
        return NoValue(step.broken)
    side = step.footfall.side
    tips = _standing(step.footfall, points.get(f"{side.value}_toe", ()), times)
    if not tips:
        return NoValue(
            tr("Place the {side} shoe's tip on a frame of step {step}'s contact.").format(
                side=tr(side.value), step=step.step
            )
        )
    return _median(ground, tips, side)


def _standing(footfall: Footfall, tips: Sequence[BodyPoint], times: FrameTimes) -> list[BodyPoint]:
    """The tips in the middle half of the contact, else all of the contact."""
    if footfall.touchdown is None:
        return []
    begin = times.at(footfall.touchdown)
    end = times.at(footfall.toe_off) if footfall.toe_off is not None else begin + OPEN_CONTACT_S
    first = bisect_left(tips, int(footfall.touchdown), key=_frame)
    last = bisect_left(tips, int(np.searchsorted(times.seconds, end - 1e-9)), key=_frame)
    inside = tips[first:last]
    quarter = (end - begin) / 4
    middle = [p for p in inside if begin + quarter <= times.at(p.frame) <= end - quarter]
    return middle or list(inside)


def _frame(point: BodyPoint) -> int:
    return point.frame


def _median(ground: Ground, tips: Sequence[BodyPoint], side: Side) -> Carried:
    places = place_shoes(ground, tips, [side] * len(tips))
    if len(tips) == 1:
        return places.carried(0)
    own = 1.2533 * float(np.sqrt(np.mean(places.own**2))) / math.sqrt(len(tips))
    parts = places.shared_parts(places.shared.mean(axis=0))
    parts[normal(own)] = 1.0
    return combine(float(np.median(places.x)), parts)
