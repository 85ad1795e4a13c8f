"""What the charts of two runs show, as values: both on one axis, and which numbers can be told apart."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.reading.key_names import key_name
from analysis.reading.numbers import numbers_of
from analysis.report.words import METRES_PER_SECOND, Unit, spoken, unit_shown
from analysis.values.comparison import CLAIM_WORDS, Claim, Comparison, MeasureKey
from analysis.values.estimate import Estimate
from analysis.values.film import FrameTimes
from analysis.values.posture import Moment
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.charts.curves_shown import curves_shown
from app.charts.rhythm_shown import columns
from app.charts.speed_shown import speed_shown
from app.compare.pair_choices import Over, PairChoice

Floats = npt.NDArray[np.float64]
_APART = 0.09
"""So far beside a step's column stand the numbers of the two runs, so that no bar covers another."""


@dataclass(frozen=True)
class PairRun:
    """One of the two. ``lower``: which film. ``master_s``: the clock's time of a time of this film."""

    name: str
    reading: Reading
    times: FrameTimes
    lower: bool
    master_s: Callable[[float], float]


@dataclass(frozen=True)
class PairPoint:
    """A number of one run, in the unit that is shown. ``told``: it can be told apart from the other run's."""

    words: str
    number: Estimate
    across: float
    lower: bool
    told: bool
    frame: int


@dataclass(frozen=True, eq=False)
class PairCurve:
    """A curve of one run with its 95 % interval, (n,) each; NaN parts its stretches."""

    lower: bool
    across: Floats
    value: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class PairShown:
    """``ways``: of the upper and the lower film: frames, and where they are across."""

    unit: Unit
    points: tuple[PairPoint, ...] = ()
    curves: tuple[PairCurve, ...] = ()
    ways: tuple[tuple[Floats, Floats], tuple[Floats, Floats]] = ((np.zeros(0),) * 2,) * 2
    ticks: tuple[tuple[float, str], ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self.points and not self.curves

    def across_at(self, frame: int, *, lower: bool) -> float | None:
        """Where a frame of a film is on the axis; None beside its way."""
        frames, across = self.ways[int(lower)]
        if len(frames) < 2 or not frames[0] <= frame <= frames[-1]:
            return None
        return float(np.interp(frame, frames, across))


def pair_shown(choice: PairChoice, runs: tuple[PairRun, PairRun], comparison: Comparison) -> PairShown:
    """One chart of two runs, the upper film's first."""
    told = {row.key for row in comparison.rows if row.claim is Claim.DIFFERS}
    make = {Over.STEPS: _by_step, Over.METRES: _over_metres, Over.TIME: _over_time}[choice.over]
    unit = METRES_PER_SECOND if choice.over is Over.METRES else unit_shown(choice.measure)
    made = [make(choice, run, told, unit) for run in runs]
    ticks = dict(tick for one in made for tick in one.ticks)
    return PairShown(
        unit,
        tuple(point for one in made for point in one.points),
        tuple(curve for one in made for curve in one.curves),
        (made[0].way, made[1].way),
        tuple(sorted(ticks.items())),
    )


@dataclass(frozen=True, eq=False)
class _Made:
    points: tuple[PairPoint, ...]
    curves: tuple[PairCurve, ...]
    way: tuple[Floats, Floats]
    ticks: tuple[tuple[float, str], ...] = ()


def _point(
    run: PairRun,
    key: MeasureKey,
    number: Estimate,
    across: float,
    frame: int,
    told: set[MeasureKey],
    unit: Unit,
) -> PairPoint:
    claim = CLAIM_WORDS[Claim.DIFFERS] if key in told else tr("can't be told apart")
    name = f"{run.name}, {key_name(key)}"
    words = f"{spoken(name, number, unit)}. {claim}"
    return PairPoint(words, number.scaled(unit.factor), across, run.lower, key in told, frame)


def _by_step(choice: PairChoice, run: PairRun, told: set[MeasureKey], unit: Unit) -> _Made:
    points = []
    beside = _APART if run.lower else -_APART
    for step in run.reading.steps:
        number = getattr(step, choice.measure)
        frame = step.toe_off if choice.measure == "flight_s" else step.touchdown
        if isinstance(number, Estimate) and frame is not None:
            key = MeasureKey(choice.measure, step=step.step)
            points.append(_point(run, key, number, step.step + beside, int(frame), told, unit))
    steps = run.reading.steps
    ticks = tuple((float(step.step), str(step.step)) for step in steps)
    frames, places = (np.array(one, dtype=np.float64) for one in columns(steps))
    return _Made(tuple(points), (), (frames, places), ticks)


def _over_metres(_choice: PairChoice, run: PairRun, told: set[MeasureKey], unit: Unit) -> _Made:
    shown = speed_shown(run.reading, run.times)
    points = []
    for speed in run.reading.speeds:
        at = shown.seconds_at(speed.x_m)
        if at is not None and isinstance(speed.local_m_s, Estimate):
            key = MeasureKey("local_m_s", x_m=speed.x_m)
            frame = int(run.times.last_at_or_before(at))
            points.append(_point(run, key, speed.local_m_s, speed.x_m, frame, told, unit))
    band = shown.band
    curves: tuple[PairCurve, ...] = ()
    if band is not None:
        x, v, low, high = (np.array(one) for one in (band.x_m, band.v_m_s, band.low_m_s, band.high_m_s))
        curves = (PairCurve(run.lower, x, v, low, high),)
    seconds, metres = shown.way
    frames = np.array([float(run.times.last_at_or_before(float(s) + 1e-9)) for s in seconds])
    return _Made(tuple(points), curves, (frames, metres))


def _over_time(choice: PairChoice, run: PairRun, told: set[MeasureKey], unit: Unit) -> _Made:
    at = np.array([run.master_s(float(second)) for second in run.times.seconds])
    assert choice.curves is not None, "a chart over time says which curves it holds"
    curves = []
    for curve in curves_shown(run.reading, run.times, choice.curves).curves:
        if curve.side is choice.side:
            across, value, half = (
                _parted(part, curve.frames) for part in (at[curve.frames], curve.value, curve.half)
            )
            curves.append(PairCurve(run.lower, across, value, value - half, value + half))
    points = tuple(_at_events(choice, run, told, unit, at))
    return _Made(points, tuple(curves), (np.arange(len(at), dtype=np.float64), at))


def _at_events(
    choice: PairChoice, run: PairRun, told: set[MeasureKey], unit: Unit, at: Floats
) -> Iterator[PairPoint]:
    steps = {step.step: step for step in run.reading.steps}
    for key, number in numbers_of(run.reading).items():
        step = steps.get(key.step or 0)
        if key.measure != choice.measure or step is None or not isinstance(number, Estimate):
            continue
        stance_asked = choice.side is None or (step.side is choice.side) is not key.other_leg
        frame = {Moment.TOUCHDOWN: step.touchdown, Moment.TOE_OFF: step.toe_off}.get(key.moment or Moment.SET)
        if stance_asked and frame is not None:
            yield _point(run, key, number, float(at[int(frame)]), int(frame), told, unit)


def _parted(values: Floats, frames: npt.NDArray[np.int64]) -> Floats:
    """NaN between stretches of frames that follow each other."""
    gaps = np.flatnonzero(np.diff(frames) > 1) + 1
    return np.insert(values.astype(np.float64), gaps, np.nan)
