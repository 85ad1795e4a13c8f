"""Where each shoe stands on the ground, and the lengths between them."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.ground.carried import Carried, Number, combine, normal, rectangular, widened
from analysis.ground.ground import Ground
from analysis.ground.near import REACH_FRAMES, REACH_S, within_reach
from analysis.ground.place import place_shoes
from analysis.ground.points import PointsByName
from analysis.steps.events import Event
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.run import BodyPoint, Side, StartPush
from analysis.values.words import tr

OPEN_CONTACT_S = 0.25
"""How long after a touchdown without toe-off a shoe tip still counts as standing, s (own assumption)."""
SWING_M_S = 4.0
"""How fast the tip of a shoe moves along the line within reach of its contact, at most, m/s (own
assumption)."""


_MEDIAN_SHARE = (1.0, 0.7071, 0.6698, 0.5461, 0.5356)
"""Standard deviation of the median of 1 to 5 normal errors, in that of one: of two it is their mean."""


def median_share(count: int) -> float:
    """Standard deviation of the median of ``count`` normal errors, in that of one; beyond five the limit
    ``sqrt(pi / 2 / count)``, which is up to 4 % too much at an odd number and 10 at an even one.
    """
    return _MEDIAN_SHARE[count - 1] if count <= len(_MEDIAN_SHARE) else math.sqrt(math.pi / 2 / count)


@dataclass(frozen=True)
class Contact:
    """When a foot stands: times of its tagged frames in s, the second the first frame off the ground."""

    begin: float
    end: float

    def away(self, time_s: float) -> float:
        """How far a time lies outside, s; 0 within."""
        if self.begin <= time_s < self.end:
            return 0.0
        return min(abs(time_s - self.begin), abs(time_s - self.end))


def shoe_places(
    ground: Ground | NoValue,
    steps: Sequence[StepTimes],
    points: PointsByName,
    times: FrameTimes,
    start: StartPush,
) -> list[Number]:
    """Place of the shoe of each step, m: the median x of the shoe tip over the middle half of the contact.

    Where no tip stands in the middle half, every tip of the contact is taken. One click is enough; then its
    own error counts. The error of a median of n clicks is that of normal errors (``median_share``).

    Without any tip in the contact the nearest one within reach of it is taken (``analysis.ground.near``), if
    no other contact of the foot is as near. The shoe may have moved there: its place may be off by
    ``SWING_M_S`` times the time between the tip's frame and the event's estimate, rectangular.
    """
    if isinstance(ground, NoValue):
        return [ground for _ in steps]
    contacts = {side: _contacts(side, steps, start, times) for side in Side}
    return [_shoe(ground, step, points, times, contacts[step.footfall.side]) for step in steps]


def set_shoe(
    ground: Ground | NoValue,
    start: StartPush,
    front_toe_off: Event | None,
    steps: Sequence[StepTimes],
    points: PointsByName,
    times: FrameTimes,
) -> Number:
    """Place of the front foot's shoe tip at the set position, m: every tip placed before it leaves the
    ground, else the nearest within reach after it, widened as in ``shoe_places``.
    """
    if isinstance(ground, NoValue):
        return ground
    side = start.front_side
    if side is None or front_toe_off is None:
        return NoValue(tr("Say which foot is in front and tag its toe-off to measure from its shoe."))
    all_tips = points.get(f"{side.value}_toe", ())
    tips = [p for p in all_tips if p.frame < front_toe_off.frame]
    if tips:
        return _median(ground, tips, side)
    own = Contact(-math.inf, times.at(front_toe_off.frame))
    tip = _beside(own, [front_toe_off], all_tips, _contacts(side, steps, start, times), times)
    if tip is None:
        return NoValue(tr("Place the front shoe's tip at the set position."))
    return _moving(_median(ground, [tip], side), tip, [front_toe_off], times)


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


def _shoe(
    ground: Ground, step: StepTimes, points: PointsByName, times: FrameTimes, of_foot: Sequence[Contact]
) -> Number:
    if step.broken is not None:
        return NoValue(step.broken)
    side = step.footfall.side
    all_tips = points.get(f"{side.value}_toe", ())
    own = _contact(step, times)
    if own is not None:
        tips = _standing(own, all_tips, times)
        if tips:
            return _median(ground, tips, side)
        events = [event for event in (step.touchdown, step.toe_off) if event is not None]
        tip = _beside(own, events, all_tips, of_foot, times)
        if tip is not None:
            return _moving(_median(ground, [tip], side), tip, events, times)
    return NoValue(
        tr("Place the {side} shoe's tip on a frame of step {step}'s contact.").format(
            side=tr(side.value), step=step.step
        )
    )


def _contact(step: StepTimes, times: FrameTimes) -> Contact | None:
    """A step's contact, or None where its touchdown is not known."""
    if step.touchdown is None:
        return None
    begin = times.at(step.touchdown.frame)
    return Contact(
        begin, times.at(step.toe_off.frame) if step.toe_off is not None else begin + OPEN_CONTACT_S
    )


def _contacts(side: Side, steps: Sequence[StepTimes], start: StartPush, times: FrameTimes) -> list[Contact]:
    """Every contact of a foot, that of the start push too."""
    found = [c for s in steps if s.footfall.side is side and (c := _contact(s, times)) is not None]
    if start.front_side is not None:
        off = start.front_toe_off if start.front_side is side else start.rear_toe_off
        if off is not None and 0 <= off < len(times):
            found.append(Contact(-math.inf, times.at(off)))
    return found


def _standing(contact: Contact, tips: Sequence[BodyPoint], times: FrameTimes) -> list[BodyPoint]:
    """The tips in the middle half of the contact, else all of the contact."""
    begin, end = contact.begin, contact.end
    first, last = (
        bisect_left(tips, int(np.searchsorted(times.seconds, at - 1e-9)), key=_frame) for at in (begin, end)
    )
    inside = tips[first:last]
    quarter = (end - begin) / 4
    middle = [p for p in inside if begin + quarter <= times.at(p.frame) <= end - quarter]
    return middle or list(inside)


def _beside(
    own: Contact,
    events: Sequence[Event],
    tips: Sequence[BodyPoint],
    of_foot: Sequence[Contact],
    times: FrameTimes,
) -> BodyPoint | None:
    """The tip nearest to a contact, within reach of its events, that is no other contact's of the foot."""

    def away(tip: BodyPoint) -> float:
        return own.away(times.at(tip.frame))

    near = [
        tip
        for tip in _around(events, tips, times)
        if 0 <= tip.frame < len(times)
        and any(within_reach(tip.frame - e.frame, times.at(tip.frame) - times.at(e.frame)) for e in events)
        and all(away(tip) < other.away(times.at(tip.frame)) for other in of_foot if other != own)
    ]
    return min(near, key=away, default=None)


def _around(events: Sequence[Event], tips: Sequence[BodyPoint], times: FrameTimes) -> Sequence[BodyPoint]:
    """Of tips on many frames those that may be within reach of an event at all."""
    first, last = min(e.frame for e in events), max(e.frame for e in events)
    begin = int(np.searchsorted(times.seconds, times.at(first) - REACH_S - 1e-6))
    end = int(np.searchsorted(times.seconds, times.at(last) + REACH_S + 1e-6))
    low = bisect_left(tips, min(begin, first - REACH_FRAMES), key=_frame)
    return tips[low : bisect_left(tips, max(end, last + REACH_FRAMES + 1), key=_frame)]


def _moving(place: Carried, tip: BodyPoint, events: Sequence[Event], times: FrameTimes) -> Carried:
    """The place of a shoe from a tip that was clicked while the shoe moved."""
    outside_s = min(abs(times.at(tip.frame) - event.seconds) for event in events)
    return widened(place, rectangular(SWING_M_S * outside_s))


def _frame(point: BodyPoint) -> int:
    return point.frame


def _median(ground: Ground, tips: Sequence[BodyPoint], side: Side) -> Carried:
    places = place_shoes(ground, tips, [side] * len(tips))
    if len(tips) == 1:
        return places.carried(0)
    own = median_share(len(tips)) * float(np.sqrt(np.mean(places.own**2)))
    parts = places.shared_parts(places.shared.mean(axis=0))
    parts[normal(own)] = 1.0
    return combine(float(np.median(places.x)), parts)
