"""Contact, flight, step time and what follows from them, footfall by footfall."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise, zip_longest

from analysis.ground.carried import Number
from analysis.ground.quotient import quotient
from analysis.steps.doubts import OF_START, Doubt, of_steps
from analysis.steps.events import Event, read_event
from analysis.steps.order import conflicts, in_order, numbered, start_conflict
from analysis.values.estimate import NoValue, Result
from analysis.values.film import FrameTimes
from analysis.values.run import Footfall, StartPush
from analysis.values.tagging import TaggingError
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
    frequency: Result
    flight_to_contact: Result
    duty_factor: Result


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


def step_times(
    footfalls: Sequence[Footfall], times: FrameTimes, tagging: TaggingError | None = None
) -> tuple[tuple[StepTimes, ...], list[Doubt]]:
    """The steps of confirmed footfalls, numbered from 1 by touchdown, drafts between them included, and
    doubts about their tags.

    Contact k = toe-off k - touchdown k. Flight k = touchdown k+1 - toe-off k, between a toe-off and the next
    touchdown of the *other* foot; negative where both feet are on the ground. Step time k = touchdown k+1 -
    touchdown k; step frequency = 1 / step time; flight to contact = flight k / contact k; duty factor =
    contact k / (touchdown k+2 - touchdown k), of the same foot. Durations that share an event share its
    error. Between two footfalls of one side a footfall is missing: there is no step. Nor is there one over
    a draft that nobody has confirmed.
    Footfalls that contradict each other give no numbers, and a doubt says why. ``tagging``: the coach's own
    error, where it was measured.
    """
    kept = in_order(footfalls)
    number_of = numbered(footfalls)
    broken: dict[str, str] = {}
    doubts = []
    contradicting = [(c.footfalls, c.sentence) for c in conflicts(kept)]
    for ids, sentence in [*contradicting, *_beyond_film(kept, len(times))]:
        doubt = of_steps((number_of[id_] for id_ in ids), sentence)
        doubts.append(doubt)
        broken = dict.fromkeys(ids, doubt.sentence) | broken
    downs = {
        f.id: read_event(times, f.touchdown, f.unsure_frames, tagging) for f in kept if f.id not in broken
    }
    offs = {f.id: read_event(times, f.toe_off, f.unsure_frames, tagging) for f in kept if f.id not in broken}
    steps = []
    for place, footfall in enumerate(kept):
        after = kept[place + 1] if place + 1 < len(kept) else None
        steps.append(_step(number_of, footfall, after, downs, offs, broken))
    steps = [
        replace(step, duty_factor=_duty_factor(step, after)) for step, after in zip_longest(steps, steps[1:])
    ]
    doubts += _missed(kept, number_of)
    doubts += _both_feet(steps)
    return tuple(steps), doubts


def start_times(
    start: StartPush, steps: Sequence[StepTimes], times: FrameTimes, tagging: TaggingError | None = None
) -> tuple[StartTimes, list[Doubt]]:
    """The start push: rear and front foot's toe-off - first movement, first flight = touchdown 1 - front
    toe-off; and doubts about its tags.
    """
    broken = start_conflict(start, [s.footfall for s in steps if s.broken is None])
    doubts = [Doubt(OF_START, broken)] if broken else []
    if any(
        f is not None and not 0 <= f < len(times)
        for f in (start.first_movement, start.rear_toe_off, start.front_toe_off)
    ):
        doubts.append(
            Doubt(OF_START, tr("A tag of the start push lies beyond the film's last frame. Retag it."))
        )
    if broken is None:
        movement, rear, front = (
            read_event(times, f, None, tagging)
            for f in (start.first_movement, start.rear_toe_off, start.front_toe_off)
        )
    else:
        movement = rear = front = None
    why_no_movement = tr("The first movement is not tagged. Tag it to read the start push.")
    drafted = bool(steps) and steps[0].step > 1
    first_down = steps[0].touchdown if steps and not drafted else None
    no_first_down = tr("The first touchdown is not tagged. Tag it to read the first flight.")
    if drafted:
        no_first_down = tr("The first touchdown is a draft. Confirm it to read the first flight.")
    if broken is None and steps and not drafted:
        doubts += _from_push_to_step(start, steps[0], front)
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
                no_first_down,
            ),
            broken,
        ),
        doubts,
    )


def frames_decide(steps: Sequence[StepTimes]) -> bool:
    """Whether the frame intervals hold more than half of the variance of the steps' events: else it is the
    doubt about the tags that hides differences.
    """
    events = [event for step in steps for event in (step.touchdown, step.toe_off) if event is not None]
    whole = sum(float(event.time.std_dev) ** 2 for event in events)
    frames = sum((2 * event.behind_s) ** 2 / 12 for event in events)
    return 2 * frames > whole


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
    number_of: Mapping[str, int],
    footfall: Footfall,
    after: Footfall | None,
    downs: dict[str, Event | None],
    offs: dict[str, Event | None],
    broken: dict[str, str],
) -> StepTimes:
    why, number = broken.get(footfall.id), number_of[footfall.id]
    down, off = downs.get(footfall.id), offs.get(footfall.id)
    next_number = number + 1 if after is None else number_of[after.id]
    drafts_between = next_number > number + 1
    follows = after is not None and after.side is not footfall.side and not drafts_between
    following = after if follows else None
    next_down = downs.get(following.id) if following is not None else None
    no_down = tr("The touchdown of step {step} is not tagged. Tag it.").format(step=number)
    no_off = tr("The toe-off of step {step} is not tagged. Tag it.").format(step=number)
    next_why = why or (broken.get(following.id) if following is not None else None)
    no_next = _no_next(number, after, following) if not drafts_between else _draft_next(number, next_number)
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
        frequency=quotient(1.0, step_time),
        flight_to_contact=quotient(flight, contact),
        duty_factor=NoValue(no_next),
    )


def _duty_factor(step: StepTimes, after: StepTimes | None) -> Result:
    """The share of the time between two touchdowns of one foot in which it is on the ground."""
    if isinstance(step.step_time, NoValue):
        return step.step_time
    assert after is not None
    if isinstance(after.step_time, NoValue):
        return after.step_time
    return quotient(step.contact, step.step_time + after.step_time)


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


def _draft_next(number: int, next_number: int) -> str:
    return tr(
        "Between steps {step} and {next} stand drafts that nobody has confirmed. Confirm or delete them."
    ).format(step=number, next=next_number)


def _beyond_film(kept: Sequence[Footfall], frames: int) -> list[tuple[frozenset[str], str]]:
    """Footfalls that the film does not hold, by id, and the sentence that says so."""
    beyond = frozenset(
        footfall.id
        for footfall in kept
        if any(f is not None and not 0 <= f < frames for f in (footfall.touchdown, footfall.toe_off))
    )
    if not beyond:
        return []
    words = tr("A touchdown or toe-off is tagged beyond the film's last frame, {last}. Retag it.")
    return [(beyond, words.format(last=frames - 1))]


def _missed(kept: Sequence[Footfall], number_of: Mapping[str, int]) -> list[Doubt]:
    return [
        Doubt(
            number_of[one.id],
            tr(
                "Steps {step} and {next} are both on the {side} foot: a contact of the {other} foot between "
                "them was probably missed. No step is read between them."
            ).format(
                step=number_of[one.id],
                next=number_of[two.id],
                side=tr(one.side.value),
                other=tr(one.side.other.value),
            ),
        )
        for one, two in pairwise(kept)
        if one.side is two.side and number_of[two.id] == number_of[one.id] + 1
    ]


def _both_feet(steps: Sequence[StepTimes]) -> list[Doubt]:
    """Touchdowns tagged within the other foot's contact."""
    return [
        Doubt(
            one.step,
            tr(
                "Step {late} touches down before step {early} has left the ground: both feet are on the "
                "ground for {ms:.0f} ms. Is one of the two on the wrong frame, or a side wrong?"
            ).format(late=two.step, early=one.step, ms=1000 * (one.toe_off.seconds - two.touchdown.seconds)),
        )
        for one, two in combinations(steps, 2)
        if one.footfall.side is not two.footfall.side
        and one.touchdown is not None
        and one.toe_off is not None
        and two.touchdown is not None
        and one.touchdown.frame < two.touchdown.frame < one.toe_off.frame
    ]


def _from_push_to_step(start: StartPush, first: StepTimes, front: Event | None) -> list[Doubt]:
    """Whether the first step can follow the start push."""
    doubts = []
    if start.front_side is first.footfall.side:
        doubts.append(
            Doubt(
                first.step,
                tr(
                    "The start push ends on the {side} foot and step {step} is on the {side} foot too: a "
                    "contact of the {other} foot between them was probably missed, or the front foot is "
                    "set wrong."
                ).format(
                    step=first.step, side=tr(start.front_side.value), other=tr(start.front_side.other.value)
                ),
            )
        )
    if front is not None and first.touchdown is not None and first.touchdown.frame < front.frame:
        doubts.append(
            Doubt(
                first.step,
                tr(
                    "Step {step} touches down before the front foot of the start push has left the ground: "
                    "both feet are on the ground for {ms:.0f} ms. Is one of the two on the wrong frame?"
                ).format(step=first.step, ms=1000 * (front.seconds - first.touchdown.seconds)),
            )
        )
    return doubts
