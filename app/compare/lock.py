"""How two films are laid side by side: a choice, and the maps of time that follow from it. No Qt here."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.reading.laying import Lock, Played, knots, shared_moments
from analysis.reading.lock import FIRST_MOVEMENT, Moment, TimePair, moments
from analysis.values.estimate import NoValue
from analysis.values.time_map import TimeMap
from app.bench import Look


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
    one, other = _played(upper), _played(lower)
    if one is None or other is None:
        return _laid(upper, lower, (_begins(upper, lower),), "")
    pairs = shared_moments(one, other)
    found = knots(one, other, lock, pairs)
    if isinstance(found, NoValue):
        start = next(iter(pairs.values()), _begins(upper, lower))
        return _laid(upper, lower, (start,), found.reason)
    return _laid(upper, lower, found, "", None if len(found) == 1 else pairs.get(FIRST_MOVEMENT))


def moment_here(look: Look | None, frame: int) -> Moment | None:
    """The event of a run on a frame, else the last one before it."""
    if look is None:
        return None
    before = [moment for moment, tagged in moments(look.run, look.reading).items() if tagged <= frame]
    return before[-1] if before else None


def _pairs(upper: Look | None, lower: Look | None) -> dict[Moment, TimePair]:
    one, other = _played(upper), _played(lower)
    return {} if one is None or other is None else shared_moments(one, other)


def _played(look: Look | None) -> Played | None:
    return None if look is None or look.facts is None else Played(look.run, look.reading, look.facts.times)


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
