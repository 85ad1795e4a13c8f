"""How a narration goes when it plays by itself: at which time it shows which frame."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from operator import attrgetter

from analysis.values.errors import NarrationError
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.narration import Narration, Stop
from analysis.values.recording import Shown
from analysis.values.words import tr


@dataclass(frozen=True)
class Leg:
    """A stretch of the course from ``t_s`` on: the film stands at a stop, or plays from it to the next.

    ``from_s``: capture time of the film's frame at its begin; ``speed``: share of real time, 0 where it
    stands. ``beside_from_s``, ``beside_speed``: the same of the second film.
    """

    t_s: float
    lasts_s: float
    stop_id: str
    from_s: float
    speed: float
    beside_from_s: float = 0.0
    beside_speed: float = 0.0


@dataclass(frozen=True)
class Course:
    """The legs of a narration, one after the other, with the times of its one or two films."""

    legs: tuple[Leg, ...]
    times: FrameTimes
    beside: FrameTimes | None = None

    @property
    def lasts_s(self) -> float:
        """How long it takes from the first stop to the end of the last one."""
        return self.legs[-1].t_s + self.legs[-1].lasts_s

    def at(self, t_s: float) -> Shown:
        """What is shown at a time; beyond its ends what is shown there."""
        leg = self.legs[max(0, bisect_right(self.legs, t_s, key=attrgetter("t_s")) - 1)]
        into = min(max(0.0, t_s - leg.t_s), leg.lasts_s)
        frame = self.times.last_at_or_before(leg.from_s + into * leg.speed)
        beside = None
        if self.beside is not None:
            beside = self.beside.last_at_or_before(leg.beside_from_s + into * leg.beside_speed)
        return Shown(t_s, frame, beside, leg.stop_id)


def course(narration: Narration, times: FrameTimes, beside: FrameTimes | None = None) -> Course:
    """How a narration plays by itself. ``times``, ``beside``: of the films of its first and second run.

    At each stop the film stands for its ``hold_s`` and then plays on to the next stop; where that lies
    earlier in the film, or at the same frame, it is shown at once. The second film keeps step so that at the
    next stop both are where they shall be. Raises NarrationError without a stop, FrameError for a stop that a
    film does not hold.
    """
    if not narration.stops:
        raise NarrationError(tr("The narration has no stop yet. Go to a frame and set one."))
    legs: list[Leg] = []
    for stop, later in pairwise((*narration.stops, None)):
        assert stop is not None
        for lasts_s, *rest in _of_stop(stop, later, times, beside):
            begin = legs[-1].t_s + legs[-1].lasts_s if legs else 0.0
            legs.append(Leg(begin, lasts_s, stop.id, *rest))
    return Course(tuple(legs), times, beside)


def _of_stop(
    stop: Stop, later: Stop | None, times: FrameTimes, beside: FrameTimes | None
) -> Iterator[tuple[float, float, float, float, float]]:
    """How long, from where and how fast: standing at a stop, then playing to the next one."""
    at, beside_at = times.at(stop.frame), _beside(stop, beside)
    yield stop.hold_s, at, 0.0, beside_at, 0.0
    if later is None:
        return
    way = times.at(later.frame) - at
    if way > 0:
        lasts_s = way / stop.speed_after
        beside_way = max(0.0, _beside(later, beside) - beside_at)
        yield lasts_s, at, stop.speed_after, beside_at, beside_way / lasts_s


def _beside(stop: Stop, times: FrameTimes | None) -> float:
    if times is None:
        return 0.0
    return times.at(FrameNumber(0) if stop.beside is None else stop.beside)
