"""Where each shoe stands on the ground, and the lengths between them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from analysis.ground.carried import Carried, Number, combine, normal, rectangular, widened
from analysis.ground.ground import Ground
from analysis.ground.near import REACH_FRAMES, REACH_S, within_reach
from analysis.ground.place import Places, place_contacts
from analysis.ground.point_rows import PointRows
from analysis.steps.events import Event
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.run import Side, StartPush
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
    points: Mapping[str, PointRows],
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
    found = [_tips_of(step, points, times, contacts[step.footfall.side]) for step in steps]
    tips = [one for one in found if not isinstance(one, NoValue)]
    sides = [s.footfall.side for s, one in zip(steps, found, strict=True) if not isinstance(one, NoValue)]
    placed = iter(_medians(ground, [one.rows for one in tips], sides))
    return [one if isinstance(one, NoValue) else one.widened(next(placed)) for one in found]


def set_shoe(
    ground: Ground | NoValue,
    start: StartPush,
    front_toe_off: Event | None,
    steps: Sequence[StepTimes],
    points: Mapping[str, PointRows],
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
    all_tips = points.get(f"{side}_toe")
    tips = None
    if all_tips is not None:
        own = Contact(-math.inf, times.at(front_toe_off.frame))
        before = int(np.searchsorted(all_tips.frames, front_toe_off.frame))
        of_foot = _contacts(side, steps, start, times)
        tips = Tips(all_tips[:before]) if before else _beside(own, [front_toe_off], all_tips, of_foot, times)
    if tips is None:
        return NoValue(tr("Place the front shoe's tip at the set position."))
    return tips.widened(_medians(ground, [tips.rows], [side])[0])


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


@dataclass(frozen=True, eq=False)
class Tips:
    """The clicks on a shoe's tip that tell a contact's place. ``outside_s``: how far in time from its event
    they are, s, where the shoe may have moved.
    """

    rows: PointRows
    outside_s: float = 0.0

    def widened(self, place: Carried) -> Carried:
        """Their place, with what the shoe may have moved."""
        return widened(place, rectangular(SWING_M_S * self.outside_s)) if self.outside_s else place


def _tips_of(
    step: StepTimes, points: Mapping[str, PointRows], times: FrameTimes, of_foot: Sequence[Contact]
) -> Tips | NoValue:
    if step.broken is not None:
        return NoValue(step.broken)
    side = step.footfall.side
    all_tips = points.get(f"{side}_toe")
    own = _contact(step, times)
    if own is not None and all_tips is not None:
        tips = _standing(own, all_tips, times)
        if len(tips):
            return Tips(tips)
        events = [event for event in (step.touchdown, step.toe_off) if event is not None]
        beside = _beside(own, events, all_tips, of_foot, times)
        if beside is not None:
            return beside
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


def _standing(contact: Contact, tips: PointRows, times: FrameTimes) -> PointRows:
    """The tips in the middle half of the contact, else all of the contact."""
    quarter = (contact.end - contact.begin) / 4
    middle = _between(tips, times, contact.begin + quarter, contact.end - quarter + 2e-9)
    return middle if len(middle) else _between(tips, times, contact.begin, contact.end)


def _between(tips: PointRows, times: FrameTimes, begin_s: float, end_s: float) -> PointRows:
    """Tips on frames from one time on up to another."""
    frames = np.searchsorted(times.seconds, [begin_s - 1e-9, end_s - 1e-9])
    first, last = np.searchsorted(tips.frames, frames).tolist()
    return tips[first:last]


def _beside(
    own: Contact,
    events: Sequence[Event],
    tips: PointRows,
    of_foot: Sequence[Contact],
    times: FrameTimes,
) -> Tips | None:
    """The tip nearest to a contact, within reach of its events, that is no other contact's of the foot."""
    best, best_away = -1, math.inf
    for row in _around(events, tips, times):
        frame = int(tips.frames[row])
        at = times.at(frame)
        away = own.away(at)
        if (
            away < best_away
            and any(within_reach(frame - e.frame, at - times.at(e.frame)) for e in events)
            and all(away < other.away(at) for other in of_foot if other != own)
        ):
            best, best_away = row, away
    if best < 0:
        return None
    at = times.at(int(tips.frames[best]))
    return Tips(tips[best : best + 1], min(abs(at - event.seconds) for event in events))


def _around(events: Sequence[Event], tips: PointRows, times: FrameTimes) -> range:
    """Rows of tips that may be within reach of an event at all, of frames of the film."""
    first, last = min(e.frame for e in events), max(e.frame for e in events)
    begin = int(np.searchsorted(times.seconds, times.at(first) - REACH_S - 1e-6))
    end = int(np.searchsorted(times.seconds, times.at(last) + REACH_S + 1e-6))
    ends = max(0, min(begin, first - REACH_FRAMES)), min(max(end, last + REACH_FRAMES + 1), len(times))
    return range(*np.searchsorted(tips.frames, ends).tolist())


def _medians(ground: Ground, tips: Sequence[PointRows], sides: Sequence[Side]) -> list[Carried]:
    """The place of each contact by its tips."""
    placed = place_contacts(ground, tips, [[side] * len(one) for one, side in zip(tips, sides, strict=True)])
    return [_median(places) for places in placed]


def _median(places: Places) -> Carried:
    if len(places.x) == 1:
        return places.carried(0)
    count = len(places.x)
    own = median_share(count) * math.sqrt(float(places.own @ places.own) / count)
    parts = places.shared_parts(places.shared.sum(axis=0) / count)
    parts[normal(own)] = 1.0
    return combine(median(places.x.tolist()), parts)
