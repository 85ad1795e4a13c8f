"""What the speed chart shows, as values: pure, so that it can be tested without a window."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.report.words import METRES_PER_SECOND, side_word, spoken
from analysis.values.estimate import Estimate
from analysis.values.film import FrameTimes
from analysis.values.reading import Reading, SpeedBand
from analysis.values.run import Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class SpeedPoint:
    """A speed on the chart, m/s. ``at_s``, ``at_m``: its place on either axis, ``half_s``, ``half_m`` how far
    the stretch goes that it is a mean of, 0 for a speed at a place. ``side``: of a step, None at a mark.
    ``frame``: where a click on it goes.
    """

    words: str
    number: Estimate
    at_s: float
    at_m: float
    half_s: float
    half_m: float
    side: Side | None
    frame: int


@dataclass(frozen=True)
class PlaceTick:
    """A place where splits and speeds are read, and when the hips are there on the way drawn."""

    at_m: float
    at_s: float


@dataclass(frozen=True)
class SpeedShown:
    """The chart's content; times count from the film's first frame. ``way``: the times and places, rising,
    between which the playhead and the points go from one axis to the other.
    """

    band: SpeedBand | None
    points: tuple[SpeedPoint, ...]
    ticks: tuple[PlaceTick, ...]
    way: tuple[Floats, Floats]

    @property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return self.band is None and not self.points

    def metres_at(self, time_s: float) -> float | None:
        """Where the hips are at a time of the film; None before or after the way."""
        return _between(time_s, *self.way)

    def seconds_at(self, x_m: float) -> float | None:
        """When the hips are there; None where the way does not reach."""
        return _between(x_m, self.way[1], self.way[0])


def speed_shown(reading: Reading | None, times: FrameTimes | None) -> SpeedShown:
    """Everything that the chart shows of a reading; nothing without one."""
    if reading is None or times is None:
        nothing: Floats = np.zeros(0)
        return SpeedShown(None, (), (), (nothing, nothing))
    shown = SpeedShown(reading.speed_band, (), (), _way(reading))
    places = [(s.x_m, shown.seconds_at(s.x_m)) for s in reading.speeds]
    ticks = tuple(PlaceTick(x_m, at) for x_m, at in places if at is not None)
    points = (*_steps(reading, shown, times), *_at_places(reading, shown, times))
    return SpeedShown(shown.band, points, ticks, shown.way)


def _steps(reading: Reading, shown: SpeedShown, times: FrameTimes) -> list[SpeedPoint]:
    points = []
    for step in reading.steps:
        number, begins, ends = step.step_velocity_m_s, step.begins_s, step.ends_s
        if not isinstance(number, Estimate) or begins is None or ends is None:
            continue
        first, last = shown.metres_at(begins), shown.metres_at(ends)
        if first is None or last is None:
            continue
        name = tr("Step {step}, {side}, step velocity").format(step=step.step, side=side_word(step.side))
        frame = int(step.touchdown) if step.touchdown is not None else times.last_at_or_before(begins)
        middle_s, middle_m = (begins + ends) / 2, (first + last) / 2
        halves = (ends - begins) / 2, (last - first) / 2
        words = spoken(name, number, METRES_PER_SECOND)
        points.append(SpeedPoint(words, number, middle_s, middle_m, *halves, step.side, int(frame)))
    return points


def _at_places(reading: Reading, shown: SpeedShown, times: FrameTimes) -> list[SpeedPoint]:
    points = []
    for speed in reading.speeds:
        at = shown.seconds_at(speed.x_m)
        if at is None or not isinstance(speed.local_m_s, Estimate):
            continue
        name = tr("At {x:g} m, speed from the nearby steps").format(x=speed.x_m)
        words = spoken(name, speed.local_m_s, METRES_PER_SECOND)
        frame = int(times.last_at_or_before(at))
        points.append(SpeedPoint(words, speed.local_m_s, at, speed.x_m, 0.0, 0.0, None, frame))
    return points


def _way(reading: Reading) -> tuple[Floats, Floats]:
    """Through the placed hips, as far as they go forwards: only what rises can be turned round."""
    times: list[float] = []
    places: list[float] = []
    for hip in reading.path:
        if not places or (hip.x_m > places[-1] and hip.time_s > times[-1]):
            times.append(hip.time_s)
            places.append(hip.x_m)
    return np.array(times), np.array(places)


def _between(at: float, along: Floats, across: Floats) -> float | None:
    if len(along) < 2 or not along[0] <= at <= along[-1]:
        return None
    return float(np.interp(at, along, across))
