"""What the chart of posture shows, as values: curves over the frames, and the numbers at the events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.report.words import DEGREES, METRES, Unit, side_word, spoken
from analysis.values.estimate import Estimate
from analysis.values.film import FrameTimes
from analysis.values.posture import MassPath, Moment, Series
from analysis.values.reading import Reading
from analysis.values.run import Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]
WITHIN = 1.96
"""So many standard uncertainties either side hold 95 of 100."""


@dataclass(frozen=True)
class Choice:
    """One picture of the chart: which measures, in which unit. ``over_place``: metres go across."""

    title: str
    measures: tuple[str, ...]
    unit: Unit
    over_place: bool = False


MASS_HEIGHT = "com_height_m"
CHOICES = (
    Choice(tr("Trunk and shins"), ("trunk_deg", "shin_deg"), DEGREES),
    Choice(tr("Trunk"), ("trunk_deg",), DEGREES),
    Choice(tr("Spine bend"), ("spine_bend_deg",), DEGREES),
    Choice(tr("Shins"), ("shin_deg",), DEGREES),
    Choice(tr("Thighs"), ("thigh_deg",), DEGREES),
    Choice(tr("Thigh separation"), ("thigh_separation_deg",), DEGREES),
    Choice(tr("Knees"), ("knee_deg",), DEGREES),
    Choice(tr("Hips"), ("hip_deg",), DEGREES),
    Choice(tr("Ankles"), ("ankle_deg",), DEGREES),
    Choice(tr("Centre of mass: height"), (MASS_HEIGHT,), METRES),
    Choice(tr("Centre of mass: path"), (MASS_HEIGHT,), METRES, over_place=True),
)


@dataclass(frozen=True, eq=False)
class Curve:
    """A measure over the frames, (n,) each: ``across`` in s from the film's first frame, or m."""

    name: str
    side: Side | None
    frames: npt.NDArray[np.int64]
    across: Floats
    value: Floats
    half: Floats
    guessed: npt.NDArray[np.bool_]

    def stretches(self) -> Iterator[slice]:
        """Rows of frames that follow each other."""
        ends = np.flatnonzero(np.diff(self.frames) > 1) + 1
        for first, last in zip((0, *ends), (*ends, len(self.frames)), strict=True):
            yield slice(int(first), int(last))


@dataclass(frozen=True)
class EventLine:
    """A touchdown or toe-off on the chart. ``frame``: where it is tagged."""

    across: float
    frame: int
    side: Side
    step: int
    touchdown: bool


@dataclass(frozen=True)
class CurvePoint:
    """A measure at an event, as the table has it."""

    words: str
    number: Estimate
    across: float
    side: Side | None
    touchdown: bool
    frame: int


@dataclass(frozen=True)
class CurvesShown:
    """The chart's content. ``way``: frames and where they are across, for the playhead and for clicks."""

    curves: tuple[Curve, ...] = ()
    events: tuple[EventLine, ...] = ()
    points: tuple[CurvePoint, ...] = ()
    way: tuple[Floats, Floats] = (np.zeros(0), np.zeros(0))

    @property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self.curves

    def across_at(self, frame: int) -> float | None:
        """Where a frame is on the axis; None beside the way."""
        frames, across = self.way
        if not len(frames) or not frames[0] <= frame <= frames[-1]:
            return None
        return float(np.interp(frame, frames, across))

    def frame_at(self, across: float) -> int | None:
        """The frame that is nearest to a place on the axis."""
        frames, places = self.way
        return int(frames[int(np.argmin(np.abs(places - across)))]) if len(frames) else None


def curves_shown(reading: Reading | None, times: FrameTimes | None, choice: Choice) -> CurvesShown:
    """Everything that the chart shows of a reading; nothing without one."""
    if reading is None or times is None:
        return CurvesShown()
    made = _of_mass(reading.mass_path, times, choice) if MASS_HEIGHT in choice.measures else None
    curves = [_angle(s, times) for s in reading.series if s.measure in choice.measures]
    curves += [made] if made is not None else []
    if not curves:
        return CurvesShown()
    if choice.over_place:
        frames, across = curves[0].frames, curves[0].across
    else:
        frames, across = np.arange(len(times)), times.seconds
    shown = CurvesShown(tuple(curves), way=(frames.astype(np.float64), np.asarray(across)))
    events = tuple(_events(reading, shown))
    points = tuple(_points(reading, choice, events))
    return CurvesShown(shown.curves, events, points, shown.way)


def _angle(series: Series, times: FrameTimes) -> Curve:
    return Curve(
        _name(series.measure, series.side),
        series.side,
        series.frames,
        times.seconds[series.frames],
        series.value,
        WITHIN * series.u,
        series.guessed,
    )


def _of_mass(path: MassPath | None, times: FrameTimes, choice: Choice) -> Curve | None:
    if path is None or not np.isfinite(path.metres).any():
        return None
    across = path.metres[:, 0] if choice.over_place else times.seconds[path.frames]
    height, half = path.metres[:, 1], WITHIN * path.u_m[:, 1]
    return Curve(_name(MASS_HEIGHT, None), None, path.frames, across, height, half, path.guessed)


def _events(reading: Reading, shown: CurvesShown) -> Iterator[EventLine]:
    for step in reading.steps:
        for frame, touchdown in ((step.touchdown, True), (step.toe_off, False)):
            across = shown.across_at(int(frame)) if frame is not None else None
            if frame is not None and across is not None:
                yield EventLine(across, int(frame), step.side, step.step, touchdown)


def _points(reading: Reading, choice: Choice, events: tuple[EventLine, ...]) -> Iterator[CurvePoint]:
    by_key = {(e.step, e.touchdown): e for e in events}
    words = {True: tr("{name}, touchdown of step {step}"), False: tr("{name}, toe-off of step {step}")}
    for one in reading.posture:
        at_event = one.moment in (Moment.TOUCHDOWN, Moment.TOE_OFF)
        event = by_key.get((one.step, one.moment is Moment.TOUCHDOWN)) if at_event else None
        if event is None or one.measure not in choice.measures or not isinstance(one.result, Estimate):
            continue
        side = None if one.measure == MASS_HEIGHT else one.side
        name = words[event.touchdown].format(name=_name(one.measure, side), step=one.step)
        said = spoken(name, one.result, choice.unit)
        yield CurvePoint(said, one.result, event.across, side, event.touchdown, event.frame)


_NAMES = {
    "trunk_deg": tr("Trunk"),
    "spine_bend_deg": tr("Spine bend"),
    "shin_deg": tr("Shin"),
    "thigh_deg": tr("Thigh"),
    "thigh_separation_deg": tr("Thigh separation"),
    "knee_deg": tr("Knee"),
    "hip_deg": tr("Hip"),
    "ankle_deg": tr("Ankle"),
    MASS_HEIGHT: tr("Centre of mass, height"),
}


def _name(measure: str, side: Side | None) -> str:
    return f"{_NAMES[measure]} {side_word(side)}".strip()
