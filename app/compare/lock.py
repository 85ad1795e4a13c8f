"""How two films are laid side by side: a choice, and the maps of time that follow from it. No Qt here."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from analysis.reading.lock import (
    FIRST_MOVEMENT,
    EventKind,
    Moment,
    TimePair,
    by_place,
    moments,
    rising,
    shared,
)
from analysis.values.estimate import NoValue
from analysis.values.reading import HipPlace
from analysis.values.words import tr
from app.bench import Look
from app.film.time_map import TimeMap


class LockKind(StrEnum):
    """By what two films are laid side by side."""

    EVENT = "event"
    ALL_EVENTS = "all events"
    PLACE = "place"


@dataclass(frozen=True)
class Lock:
    """The coach's choice; ``moment`` counts for one event only."""

    kind: LockKind = LockKind.EVENT
    moment: Moment = FIRST_MOVEMENT


@dataclass(frozen=True)
class Laid:
    """The two films' maps. Master time 0 is the pair at which both meet first.

    ``axis_s``: how much later a moment of the second run is on its own rail than the moment of the first that
    stands at the same height. ``trouble``: why the lock chosen is not the one used; empty where it is.
    """

    upper: TimeMap
    lower: TimeMap
    axis_s: float = 0.0
    trouble: str = ""


def choices(upper: Look | None, lower: Look | None) -> tuple[Moment, ...]:
    """The events by which the two can be laid side by side."""
    return tuple(_pairs(upper, lower))


def lay(upper: Look | None, lower: Look | None, lock: Lock) -> Laid:
    """The maps for a choice; where it can't be, both films begin with their runs, and that is said."""
    if upper is None or lower is None or upper.facts is None or lower.facts is None:
        return _laid(upper, lower, (_begins(upper, lower),), "")
    pairs = _pairs(upper, lower)
    knots = _knots(upper, lower, lock, pairs)
    if isinstance(knots, NoValue):
        start = next(iter(pairs.values()), _begins(upper, lower))
        return _laid(upper, lower, (start,), knots.reason)
    return _laid(upper, lower, knots, "", None if len(knots) == 1 else pairs.get(FIRST_MOVEMENT))


def moment_words(moment: Moment) -> str:
    """The name of an event that any run may have."""
    words = {
        EventKind.FIRST_MOVEMENT: tr("First movement"),
        EventKind.REAR_TOE_OFF: tr("Rear foot toe-off"),
        EventKind.FRONT_TOE_OFF: tr("Front foot toe-off"),
        EventKind.TOUCHDOWN: tr("Touchdown {step}"),
        EventKind.TOE_OFF: tr("Toe-off {step}"),
    }[moment.kind]
    return words.format(step=moment.step)


def moment_here(look: Look | None, frame: int) -> Moment | None:
    """The event of a run on a frame, else the last one before it."""
    if look is None:
        return None
    before = [moment for moment, tagged in moments(look.run, look.reading).items() if tagged <= frame]
    return before[-1] if before else None


def _pairs(upper: Look | None, lower: Look | None) -> dict[Moment, TimePair]:
    if upper is None or lower is None or upper.facts is None or lower.facts is None:
        return {}
    first, second = (moments(look.run, look.reading) for look in (upper, lower))
    return shared(first, upper.facts.times, second, lower.facts.times)


def _path(look: Look) -> tuple[HipPlace, ...]:
    return look.reading.path if look.reading is not None else ()


def _knots(
    upper: Look, lower: Look, lock: Lock, pairs: dict[Moment, TimePair]
) -> tuple[TimePair, ...] | NoValue:
    """The pairs of times of a lock, or why there are none."""
    if lock.kind is LockKind.PLACE:
        places = by_place(_path(upper), _path(lower))
        return places if isinstance(places, NoValue) else _from_the_start(places, pairs.get(FIRST_MOVEMENT))
    if lock.kind is LockKind.ALL_EVENTS:
        if len(pairs) < 2:
            return NoValue(tr("The two runs have fewer than two events in common. Tag more of them."))
        return rising(pairs.values())
    if lock.moment not in pairs:
        return NoValue(tr("{event} is not tagged in both runs.").format(event=moment_words(lock.moment)))
    return (pairs[lock.moment],)


def _from_the_start(places: tuple[TimePair, ...], start: TimePair | None) -> tuple[TimePair, ...]:
    """The pairs by place, and before them the first movement: there both athletes still stand in the same
    place, so that the films may not run at one pace up to the first metre that both have.
    """
    if start is None or not (start[0] < places[0][0] and start[1] < places[0][1]):
        return places
    return (start, *places)


def _begins(upper: Look | None, lower: Look | None) -> TimePair:
    first, second = (_at(look, look.run.first_frame) if look is not None else 0.0 for look in (upper, lower))
    return first, second


def _laid(
    upper: Look | None,
    lower: Look | None,
    pairs: tuple[TimePair, ...],
    trouble: str,
    anchor: TimePair | None = None,
) -> Laid:
    zero = pairs[0][0]
    knots = tuple((first - zero, second) for first, second in pairs)
    meet = anchor or pairs[0]
    axis_s = (meet[1] - _zero(lower)) - (meet[0] - _zero(upper))
    return Laid(TimeMap.offset(zero), TimeMap(knots), axis_s, trouble)


def _zero(look: Look | None) -> float:
    """Where a run's own time begins, as its rail counts it."""
    if look is None:
        return 0.0
    movement = look.run.start.first_movement
    return _at(look, look.run.first_frame if movement is None else movement)


def _at(look: Look, frame: int) -> float:
    facts = look.facts
    return facts.times.at(frame) if facts is not None and 0 <= frame < facts.frames else 0.0


def span(looks: tuple[tuple[Look | None, TimeMap], ...]) -> tuple[float, float]:
    """From the master time at which the first of the films begins to that at which the last one ends."""
    ends = [
        time_map.master_s(time_s)
        for look, time_map in looks
        if look is not None and look.facts is not None
        for time_s in (0.0, float(look.facts.times.seconds[-1]))
    ]
    return (min(ends), max(ends)) if ends else (0.0, 0.0)
