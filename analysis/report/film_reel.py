"""What an annotated film shows, picture by picture: of one run or two, at a pace or as it is narrated."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from analysis.report.film_order import MOST_HZ, Order
from analysis.values.film import FrameTimes
from analysis.values.narration import Narration, Stop
from analysis.values.narration_course import Course
from analysis.values.recording import PenStroke, Recording, Shown
from analysis.values.time_map import TimeMap

Seen = Callable[[float], Shown]
"""What is shown at a time, s."""


@dataclass(frozen=True)
class Shot:
    """One picture: a frame of each film, the stop of a narration that is told, what the pen drew."""

    frames: tuple[int, ...]
    stop: Stop | None = None
    strokes: tuple[PenStroke, ...] = ()


@dataclass(frozen=True)
class Reel:
    """The pictures in turn, which play at ``rate_hz``."""

    shots: tuple[Shot, ...]
    rate_hz: Fraction

    def frames(self, film: int) -> tuple[int, ...]:
        """The frames of one of the films that are shown, each once."""
        return tuple(sorted({shot.frames[film] for shot in self.shots}))


def plain_reel(order: Order) -> Reel:
    """The frames of one film in their order."""
    return Reel(tuple(Shot((frame,)) for frame in order.frames), order.rate_hz)


def paired_reel(order: Order, times: FrameTimes, other: FrameTimes, other_s: TimeMap) -> Reel:
    """The same with a second film beside; ``other_s``: from the first's capture times to the second's."""
    shots = (Shot((frame, _there(other, other_s.film_s(times.at(frame))))) for frame in order.frames)
    return Reel(tuple(shots), order.rate_hz)


def narrated_reel(narration: Narration, course: Course) -> Reel:
    """A narration as it plays by itself; its captions stand for what nobody speaks."""
    return _told(narration, course.at, course.lasts_s)


def spoken_reel(narration: Narration, recording: Recording) -> Reel:
    """A narration as it was spoken: each picture is what the film showed at that time of the sound."""
    reel = _told(narration, recording.at, recording.lasts_s)
    shots = (
        Shot(shot.frames, shot.stop, recording.strokes_at(n / MOST_HZ)) for n, shot in enumerate(reel.shots)
    )
    return Reel(tuple(shots), reel.rate_hz)


def _told(narration: Narration, at: Seen, lasts_s: float) -> Reel:
    count = max(1, math.ceil(lasts_s * MOST_HZ - 1e-6))
    return Reel(tuple(_shot(narration, at(n / MOST_HZ)) for n in range(count)), Fraction(MOST_HZ))


def _shot(narration: Narration, shown: Shown) -> Shot:
    beside: Sequence[int] = () if len(narration.run_ids) == 1 else (shown.beside or 0,)
    return Shot((int(shown.frame), *beside), narration.stop(shown.stop_id))


def _there(times: FrameTimes, time_s: float) -> int:
    return int(times.last_at_or_before(time_s))
