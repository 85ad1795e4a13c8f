"""Films of drills: which day and drill a film belongs to, and the repetitions that were cut out of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from analysis.values.errors import PlanError
from analysis.values.film import FrameNumber
from analysis.values.words import tr


class DrillKind(StrEnum):
    """What a film of a drill is read for."""

    THROW = "throw"
    JUMP = "jump"
    START = "start"
    RUN = "run"


class DrillEvent(StrEnum):
    """What is tagged in a repetition.

    ``SET``: a frame of the still position. ``PUSH_OFF``: the first frame in which the foot that leaves last
    is clear of the ground. ``RELEASE``: the first in which the implement is clear of the hand. ``LANDING``:
    the first in which a foot, or a hand, is on the ground again.
    """

    SET = "set"
    PUSH_OFF = "push-off"
    RELEASE = "release"
    LANDING = "landing"


EVENTS_OF: dict[DrillKind, tuple[DrillEvent, ...]] = {
    DrillKind.THROW: (DrillEvent.SET, DrillEvent.PUSH_OFF, DrillEvent.RELEASE, DrillEvent.LANDING),
    DrillKind.JUMP: (DrillEvent.SET, DrillEvent.PUSH_OFF, DrillEvent.LANDING),
    DrillKind.START: (DrillEvent.SET, DrillEvent.PUSH_OFF, DrillEvent.LANDING),
    DrillKind.RUN: (DrillEvent.SET, DrillEvent.PUSH_OFF),
}
"""Which events a kind of drill has, in the order in which they come."""

MANY: dict[DrillKind, tuple[DrillEvent, ...]] = {
    DrillKind.JUMP: (DrillEvent.PUSH_OFF, DrillEvent.LANDING),
}
"""Events that may come several times in one repetition: of a row of bounds or hops."""

Tagged = tuple[DrillEvent, FrameNumber]
"""An event and the frame that it is tagged on."""

_BEFORE: tuple[tuple[DrillEvent, DrillEvent], ...] = (
    (DrillEvent.SET, DrillEvent.PUSH_OFF),
    (DrillEvent.SET, DrillEvent.RELEASE),
    (DrillEvent.SET, DrillEvent.LANDING),
    (DrillEvent.PUSH_OFF, DrillEvent.LANDING),
)
"""What comes before what; an implement may leave the hand before or after the feet leave the ground."""


def out_of_order(events: Iterable[Tagged]) -> tuple[DrillEvent, DrillEvent] | None:
    """Two events of one repetition that can't come as they are tagged, the one that has to be earlier first;
    None where all can. Of events that come several times the first counts.
    """
    first: dict[DrillEvent, int] = {}
    for event, frame in sorted(events, key=lambda tagged: tagged[1]):
        first.setdefault(event, int(frame))
    known = [(one, other) for one, other in _BEFORE if one in first and other in first]
    return next(((one, other) for one, other in known if first[one] >= first[other]), None)


@dataclass(frozen=True)
class DrillRep:
    """One repetition: a stretch of the film, both ends included.

    ``set_number``, ``number``: which set of the day and which repetition of that set, from 1. ``events``
    stand in order of their frames. ``cue``: what the athlete was told.
    """

    id: str
    first: FrameNumber
    last: FrameNumber
    set_number: int = 1
    number: int = 1
    cue: str = ""
    events: tuple[Tagged, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.first <= self.last or self.set_number < 1 or self.number < 1:
            raise PlanError(tr("A rep ends after it begins, and sets and reps count from 1."))
        object.__setattr__(self, "events", tuple(sorted(set(self.events), key=lambda e: (e[1], e[0]))))

    @property
    def place(self) -> tuple[int, int, int]:
        """What reps are ordered by: set, rep, and where it begins."""
        return self.set_number, self.number, self.first

    def frames_of(self, event: DrillEvent) -> tuple[FrameNumber, ...]:
        """The frames that an event is tagged on, rising."""
        return tuple(frame for which, frame in self.events if which is event)

    def frame_of(self, event: DrillEvent) -> FrameNumber | None:
        """The first frame that an event is tagged on."""
        return next(iter(self.frames_of(event)), None)

    def holds(self, frame: int) -> bool:
        """Whether a frame is one of its own."""
        return self.first <= frame <= self.last


@dataclass(frozen=True)
class DrillFilm:
    """A film of one drill on one day. ``run_id``: the run, marked as one of a drill, that holds what is
    marked on the film; ``reps``: in the order in which they stand in the film.
    """

    id: str
    run_id: str
    day_id: str
    drill_id: str
    kind: DrillKind
    reps: tuple[DrillRep, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "reps", tuple(sorted(self.reps, key=lambda r: (r.first, r.id))))

    def rep_at(self, frame: int) -> DrillRep | None:
        """The repetition that a frame belongs to."""
        return next((rep for rep in self.reps if rep.holds(frame)), None)

    def rep(self, rep_id: str) -> DrillRep | None:
        """The repetition of that id."""
        return next((rep for rep in self.reps if rep.id == rep_id), None)

    def with_rep(self, rep: DrillRep) -> DrillFilm:
        """With a repetition new or in the place of the one of its id."""
        return replace(self, reps=(*self.without(rep.id).reps, rep))

    def without(self, rep_id: str) -> DrillFilm:
        """Without the repetition of that id."""
        return replace(self, reps=tuple(rep for rep in self.reps if rep.id != rep_id))


def films_of(films: Iterable[DrillFilm], day_id: str, drill_id: str | None = None) -> tuple[DrillFilm, ...]:
    """The films of a day, or of one drill on it, in order of their ids."""
    found = (f for f in films if f.day_id == day_id and drill_id in (None, f.drill_id))
    return tuple(sorted(found, key=lambda film: film.id))
