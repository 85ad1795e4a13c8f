"""Contact, flight, step time and what follows from them, footfall by footfall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from analysis.ground.carried import Number, spread
from analysis.steps.events import Event, read_event
from analysis.steps.order import conflicts, in_order, start_conflict
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.run import Footfall, StartPush
from analysis.values.words import tr


@dataclass(frozen=True)
class StepTimes:
    """Step ``step``, from its touchdown to the next touchdown of the other foot; times in s, frequency in Hz.

    ``following``: the next footfall where it is the other foot's, else None. ``broken``: the sentence that
    says why this footfall contradicts another, or None.
    """

    step: int
    footfall: Footfall
    touchdown: Event | None
    toe_off: Event | None
    following: Footfall | None
    next_touchdown: Event | None
    broken: str | None
    contact: Number
    flight: Number
    step_time: Number
    frequency: Number
    flight_to_contact: Number


@dataclass(frozen=True)
class StartTimes:
    """The start push: events, and times in s from the first movement."""

    first_movement: Event | None
    rear_toe_off: Event | None
    front_toe_off: Event | None
    rear_push: Number
    front_push: Number
    first_flight: Number
    broken: str | None


def step_times(footfalls: Sequence[Footfall], times: FrameTimes) -> tuple[tuple[StepTimes, ...], list[str]]:
    """The steps of confirmed footfalls, numbered from 1 by touchdown, and notes in sentences.

    Contact k = toe-off k - touchdown k. Flight k = touchdown k+1 - toe-off k, between a toe-off and the next
    touchdown of the *other* foot; negative where both feet are on the ground. Step time k = touchdown k+1 -
    touchdown k; step frequency = 1 / step time; flight to contact = flight k / contact k. Durations that
    share an event share its error. Between two footfalls of one side a footfall is missing: there is no step.
    Footfalls that contradict each other give no numbers, and a note says why.
    """
    kept = in_order(footfalls)
    found = conflicts(kept)
    broken = {id_: c.sentence for c in reversed(found) for id_ in c.footfalls}
    notes = [c.sentence for c in found]
    beyond = _beyond_film(kept, len(times))
    broken = {**beyond, **broken}
    notes.extend(dict.fromkeys(beyond.values()))
    downs = {f.id: read_event(times, f.touchdown, f.unsure_frames) for f in kept if f.id not in broken}
    offs = {f.id: read_event(times, f.toe_off, f.unsure_frames) for f in kept if f.id not in broken}
    steps = []
    for place, footfall in enumerate(kept):
        after = kept[place + 1] if place + 1 < len(kept) else None
        steps.append(_step(place + 1, footfall, after, downs, offs, broken))
    notes.extend(_missed(kept))
    notes.extend(_both_feet(steps))
    return tuple(steps), notes


def start_times(
    start: StartPush, steps: Sequence[StepTimes], times: FrameTimes
) -> tuple[StartTimes, list[str]]:
    """The start push: rear and front foot's toe-off - first movement, first flight = touchdown 1 - front
    toe-off.
    """
    broken = start_conflict(start, [s.footfall for s in steps if s.broken is None])
    notes = [broken] if broken else []
    if any(
        f is not None and not 0 <= f < len(times)
        for f in (start.first_movement, start.rear_toe_off, start.front_toe_off)
    ):
        notes.append(tr("A tag of the start lies beyond the film's last frame. Retag it."))
    if broken is None:
        movement, rear, front = (
            read_event(times, f) for f in (start.first_movement, start.rear_toe_off, start.front_toe_off)
        )
    else:
        movement = rear = front = None
    why_no_movement = tr("The first movement is not tagged. Tag it to read the start push.")
    first_down = steps[0].touchdown if steps else None
    return (
        StartTimes(
            movement,
            rear,
            front,
            _between(
                movement,
                rear,
                broken,
                why_no_movement,
                tr("The rear foot's toe-off is not tagged. Tag it to read its push."),
            ),
            _between(
                movement,
                front,
                broken,
                why_no_movement,
                tr("The front foot's toe-off is not tagged. Tag it to read its push."),
            ),
            _between(
                front,
                first_down,
                broken or (steps[0].broken if steps else None),
                tr("The front foot's toe-off is not tagged. Tag it to read the first flight."),
                tr("The first touchdown is not tagged. Tag it to read the first flight."),
            ),
            broken,
        ),
        notes,
    )


def _between(
    begin: Event | None, end: Event | None, broken: str | None, no_begin: str, no_end: str
) -> Number:
    if broken is not None:
        return NoValue(broken)
    if begin is None:
        return NoValue(no_begin)
    if end is None:
        return NoValue(no_end)
    return end.time - begin.time


def _step(
    number: int,
    footfall: Footfall,
    after: Footfall | None,
    downs: dict[str, Event | None],
    offs: dict[str, Event | None],
    broken: dict[str, str],
) -> StepTimes:
    why = broken.get(footfall.id)
    down, off = downs.get(footfall.id), offs.get(footfall.id)
    following = after if after is not None and after.side is not footfall.side else None
    next_down = downs.get(following.id) if following is not None else None
    no_down = tr("The touchdown of step {step} is not tagged. Tag it.").format(step=number)
    no_off = tr("The toe-off of step {step} is not tagged. Tag it.").format(step=number)
    next_why = why or (broken.get(following.id) if following is not None else None)
    no_next = _no_next(number, after, following)
    contact = _between(down, off, why, no_down, no_off)
    flight = _between(off, next_down, next_why, no_off, no_next)
    step_time = _between(down, next_down, next_why, no_down, no_next)
    return StepTimes(
        step=number,
        footfall=footfall,
        touchdown=down,
        toe_off=off,
        following=following,
        next_touchdown=next_down,
        broken=why,
        contact=contact,
        flight=flight,
        step_time=step_time,
        frequency=step_time if isinstance(step_time, NoValue) else 1.0 / step_time,
        flight_to_contact=_ratio(flight, contact),
    )


def _ratio(above: Number, below: Number) -> Number:
    if isinstance(above, NoValue):
        return above
    if isinstance(below, NoValue):
        return below
    return above / below


def _no_next(number: int, after: Footfall | None, following: Footfall | None) -> str:
    if after is None:
        return tr("No touchdown is tagged after step {step}. Tag the next one, if the film shows it.").format(
            step=number
        )
    if following is None:
        return tr(
            "After step {step} the same foot touches down again: tag the other foot's contact between them."
        ).format(step=number)
    return tr("The touchdown of step {step} is not tagged. Tag it.").format(step=number + 1)


def _beyond_film(kept: Sequence[Footfall], frames: int) -> dict[str, str]:
    beyond = {}
    for footfall in kept:
        if any(f is not None and not 0 <= f < frames for f in (footfall.touchdown, footfall.toe_off)):
            beyond[footfall.id] = tr(
                "A footfall is tagged beyond the film's last frame, {last}. Retag it."
            ).format(last=frames - 1)
    return beyond


def _missed(kept: Sequence[Footfall]) -> list[str]:
    return [
        tr(
            "Steps {step} and {next} are both on the {side} foot: a contact of the {other} foot between "
            "them was probably missed. No step is read between them."
        ).format(step=n, next=n + 1, side=tr(one.side.value), other=tr(one.side.other.value))
        for n, (one, two) in enumerate(pairwise(kept), start=1)
        if one.side is two.side
    ]


def _both_feet(steps: Sequence[StepTimes]) -> list[str]:
    both = [
        s.step
        for s in steps
        if not isinstance(s.flight, NoValue) and s.flight.nominal_value + spread(s.flight)[1] < 0
    ]
    return [
        tr("At the end of step {step} both feet are on the ground: its flight time is below zero.").format(
            step=step
        )
        for step in both
    ]
