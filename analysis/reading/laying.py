"""By what two runs are laid side by side, and the pairs of times that follow from the choice."""

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
from analysis.values.film import FrameTimes
from analysis.values.reading import HipPlace, Reading
from analysis.values.run import Run
from analysis.values.words import tr


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
class Played:
    """A run, what it says, and the capture times of its film."""

    run: Run
    reading: Reading | None
    times: FrameTimes

    @property
    def path(self) -> tuple[HipPlace, ...]:
        """Where the hips were, as far as they were placed."""
        return () if self.reading is None else self.reading.path


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


def shared_moments(one: Played, other: Played) -> dict[Moment, TimePair]:
    """The pair of times of every event that both runs have."""
    first, second = (moments(each.run, each.reading) for each in (one, other))
    return shared(first, one.times, second, other.times)


def knots(
    one: Played, other: Played, lock: Lock, pairs: dict[Moment, TimePair]
) -> tuple[TimePair, ...] | NoValue:
    """The pairs of times of a lock, or why there are none. ``pairs``: as ``shared_moments`` gives them."""
    if lock.kind is LockKind.PLACE:
        places = by_place(one.path, other.path)
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
