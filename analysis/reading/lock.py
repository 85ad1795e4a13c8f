"""What two runs have in common, as pairs of times: by it two films are laid side by side.

Times are capture times in s from each film's first frame. An event's time here is that of the frame on which
it is tagged, so that where one film shows its tagged frame the other shows its own; its estimate lies half a
frame interval before that (docs/measures.md).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.reading import HipPlace, Reading
from analysis.values.run import Run
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]
TimePair = tuple[float, float]

APART_M = 0.05
"""Places at which two runs are laid side by side lie this far apart (own)."""


class EventKind(StrEnum):
    """What can be tagged in a run, as it is counted in any run."""

    FIRST_MOVEMENT = "first_movement"
    REAR_TOE_OFF = "rear_toe_off"
    FRONT_TOE_OFF = "front_toe_off"
    TOUCHDOWN = "touchdown"
    TOE_OFF = "toe_off"


@dataclass(frozen=True)
class Moment:
    """An event that any run may have. ``step``: the step whose touchdown or toe-off it is, else 0."""

    kind: EventKind
    step: int = 0


FIRST_MOVEMENT = Moment(EventKind.FIRST_MOVEMENT)


def moments(run: Run, reading: Reading | None) -> dict[Moment, int]:
    """The frame of every tagged event, in order of time; steps are counted as the reading counts them."""
    found: dict[Moment, int] = {}
    for kind in (EventKind.FIRST_MOVEMENT, EventKind.REAR_TOE_OFF, EventKind.FRONT_TOE_OFF):
        frame = getattr(run.start, kind)
        if frame is not None:
            found[Moment(kind)] = int(frame)
    for step in reading.steps if reading is not None else ():
        for kind in (EventKind.TOUCHDOWN, EventKind.TOE_OFF):
            frame = getattr(step, kind)
            if frame is not None:
                found[Moment(kind, step.step)] = int(frame)
    return dict(sorted(found.items(), key=_frame_of))


def shared(
    one: dict[Moment, int], one_times: FrameTimes, two: dict[Moment, int], two_times: FrameTimes
) -> dict[Moment, TimePair]:
    """The pair of times of every event that both runs have, in the first run's order."""
    return {
        moment: (one_times.at(frame), two_times.at(two[moment]))
        for moment, frame in one.items()
        if moment in two and frame < len(one_times) and two[moment] < len(two_times)
    }


def rising(pairs: Iterable[TimePair]) -> tuple[TimePair, ...]:
    """The pairs in order, without those that would let one film stand or run backwards."""
    kept: list[TimePair] = []
    for pair in sorted(pairs):
        if not kept or (pair[0] > kept[-1][0] and pair[1] > kept[-1][1]):
            kept.append(pair)
    return tuple(kept)


def by_place(one: tuple[HipPlace, ...], two: tuple[HipPlace, ...]) -> tuple[TimePair, ...] | NoValue:
    """Pairs of times at which the hips of both are at one and the same metre, every ``APART_M``.

    Between the frames on which the hips were placed their way is a smooth monotone curve (Fritsch and Carlson
    1980). Where an athlete goes back or rests, the last time at a place counts.
    """
    first, second = _last_times(one), _last_times(two)
    if len(first[0]) < 2 or len(second[0]) < 2:
        return NoValue(tr("Place the hips in both runs, and marks of known distance, to lay them by place."))
    low, high = max(first[0][0], second[0][0]), min(first[0][-1], second[0][-1])
    if not high - low > APART_M:
        return NoValue(tr("The hips of the two runs were placed along different metres."))
    places = np.linspace(low, high, int((high - low) / APART_M) + 1)
    times = [_floats(PchipInterpolator(x, t)(places)) for x, t in (first, second)]
    return rising(zip(*times, strict=True))  # where the hips hardly move a rounding may let a time stand


def _last_times(path: tuple[HipPlace, ...]) -> tuple[Floats, Floats]:
    """Places that rise, and the last time at each."""
    kept: list[HipPlace] = []
    for place in reversed(path):
        if not kept or place.x_m < kept[-1].x_m - 1e-6:
            kept.append(place)
    kept.reverse()
    return np.array([p.x_m for p in kept]), np.array([p.time_s for p in kept])


def _floats(times: Floats) -> list[float]:
    return [float(t) for t in times]


def _frame_of(item: tuple[Moment, int]) -> int:
    return item[1]
