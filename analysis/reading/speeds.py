"""Splits and speeds at the marks that the coach asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.ground.carried import Number, result
from analysis.ground.ground import Ground
from analysis.ground.place import HipTrack
from analysis.reading.telling import told_apart
from analysis.speed.curve import SpeedCurve, fit_curve
from analysis.speed.local import Piece, local_speed, passing_time, piece_around
from analysis.speed.swing import StepClock
from analysis.speed.zero import leaves_rest
from analysis.steps.table import StartTimes, StepTimes
from analysis.values.estimate import NoValue, Result
from analysis.values.reading import SpeedBand, SpeedReading, SplitReading
from analysis.values.words import signed, tr

FARTHEST = 0.25
"""How far past the outermost mark a speed may lean on extrapolated places, as a share of the marked stretch
(own)."""

BAND_POINTS = 60
"""At so many moments the curve of speed is given."""


@dataclass(frozen=True)
class SpeedStage:
    """Splits, speeds, notes, and the curve through the whole run with its band where one holds."""

    splits: tuple[SplitReading, ...]
    speeds: tuple[SpeedReading, ...]
    notes: list[str]
    band: SpeedBand | None
    curve: SpeedCurve | NoValue


def read_speeds(
    report_at_m: Sequence[float],
    ground: Ground | NoValue,
    leaving: HipTrack | NoValue,
    track: HipTrack | NoValue,
    clock: StepClock | NoValue,
    steps: Sequence[StepTimes],
    start: StartTimes,
    hips: Sequence[Number],
    velocities: Sequence[Number],
) -> SpeedStage:
    """Splits from clock zero and from front toe-off, and step-averaged speeds, at every place asked for.

    Clock zero is when the hips leave their rest, where that was placed; else the tagged first movement.
    ``leaving``: the hips up to there. ``track``: of the hips, or the centre of mass in their place.
    ``hips``, ``velocities``: that at each touchdown and step velocity, as the step table has them.
    """
    notes: list[str] = []
    zero, from_hips = _clock_zero(leaving, steps, start)
    curve = _curve(track, clock, start)
    splits, ways, speeds = [], [], []
    for x in report_at_m:
        piece = _piece(track, clock, x)
        passed = passing_time(piece)
        from_front = result(_since(passed, _front(start)))
        splits.append(SplitReading(x, result(_since(passed, zero)), from_front, from_hips))
        ways.append(_both_ways(x, ground, piece, curve))
    apart = [_between(*each) for each in ways]
    for x, (local, model), difference, told in zip(report_at_m, ways, apart, told_apart(apart), strict=True):
        last, (begin, end) = _last_step(x, ground, hips, velocities)
        reading = SpeedReading(x, result(local), result(model), last, begin, end, result(difference), told)
        speeds.append(reading)
        notes += _speed_notes(reading)
    if any(not isinstance(s.time_s, NoValue) for s in splits):
        left_rest = tr("Splits count from the moment when the hips leave their rest.")
        notes.append(left_rest if from_hips else tr("Splits count from the tagged first movement."))
    return SpeedStage(tuple(splits), tuple(speeds), notes, _band(curve, track), curve)


def _band(curve: SpeedCurve | NoValue, track: HipTrack | NoValue) -> SpeedBand | None:
    if isinstance(curve, NoValue) or isinstance(track, NoValue):
        return None
    begin = max(float(track.times_s[0]), float(curve.parameters[2]))
    return curve.band(np.linspace(begin, float(track.times_s[-1]), BAND_POINTS))


def _clock_zero(
    track: HipTrack | NoValue, steps: Sequence[StepTimes], start: StartTimes
) -> tuple[Number, bool]:
    """When the clock starts, and whether it is the hips that start it."""
    end = start.front_toe_off or (steps[0].touchdown if steps else None)
    if end is not None and not isinstance(track, NoValue):
        left = leaves_rest(track, end.seconds)
        if not isinstance(left, NoValue):
            return left, True
    if start.first_movement is not None:
        return start.first_movement.time, False
    return (
        NoValue(
            start.broken
            or tr("The clock has no zero: tag the first movement, or place the hip through its rest.")
        ),
        False,
    )


def _front(start: StartTimes) -> Number:
    if start.front_toe_off is None:
        return NoValue(start.broken or tr("The front foot's toe-off is not tagged. Tag it."))
    return start.front_toe_off.time


def step_clock(steps: Sequence[StepTimes]) -> StepClock | NoValue:
    """Step phase from the tagged touchdowns, or what is missing."""
    downs = [s.touchdown.seconds for s in steps if s.touchdown is not None]
    if len(downs) < 2:
        return NoValue(tr("Tag at least two touchdowns to read speeds and splits."))
    return StepClock(downs)


def _curve(track: HipTrack | NoValue, clock: StepClock | NoValue, start: StartTimes) -> SpeedCurve | NoValue:
    if isinstance(track, NoValue):
        return track
    if isinstance(clock, NoValue):
        return clock
    return fit_curve(track, clock, start.first_movement.seconds if start.first_movement else None)


def _piece(track: HipTrack | NoValue, clock: StepClock | NoValue, x: float) -> Piece | NoValue:
    if isinstance(track, NoValue):
        return track
    if isinstance(clock, NoValue):
        return clock
    return piece_around(track, clock, x)


def _since(passed: Number, zero: Number) -> Number:
    if isinstance(passed, NoValue):
        return passed
    return zero if isinstance(zero, NoValue) else passed - zero


def _both_ways(
    x: float, ground: Ground | NoValue, piece: Piece | NoValue, curve: SpeedCurve | NoValue
) -> tuple[Number, Number]:
    """Speed at a place from the nearby steps, and from the curve through the whole run."""
    if isinstance(ground, NoValue):
        return ground, ground
    local = local_speed(piece)
    if not isinstance(piece, NoValue) and not isinstance(local, NoValue):
        reach = x + float(local.nominal_value) * piece.clock.usual_s
        if reach > ground.to_m + FARTHEST * (ground.to_m - ground.from_m):
            local = NoValue(
                tr(
                    "The marks end at {end} m, less than a whole step past {x} m. Set a mark farther out."
                ).format(end=signed(ground.to_m), x=signed(x))
            )
    if isinstance(local, NoValue):
        # without a whole step past the mark the model would only extrapolate
        return local, local
    return local, curve if isinstance(curve, NoValue) else curve.speed_at(x)


def _between(local: Number, model: Number) -> Number:
    """The second way less the first; what both rest on cancels."""
    if isinstance(local, NoValue):
        return local
    return model if isinstance(model, NoValue) else model - local


@dataclass(frozen=True)
class _Backwards(NoValue):
    """No speed, since the hip places of the step run against the run."""


def _last_step(
    x: float, ground: Ground | NoValue, hips: Sequence[Number], velocities: Sequence[Number]
) -> tuple[Result, tuple[float, float] | tuple[None, None]]:
    """Mean velocity of the last whole step that ends before ``x``, m/s, and where the hips begin and end it,
    m; why there is none.
    """
    if isinstance(ground, NoValue):
        return ground, (None, None)
    for k in range(len(velocities) - 2, -1, -1):
        begin, end, velocity = hips[k], hips[k + 1], velocities[k]
        if isinstance(begin, NoValue) or isinstance(end, NoValue) or isinstance(velocity, NoValue):
            continue
        if end.nominal_value > x:
            continue
        if velocity.nominal_value > 0:
            return result(velocity), (float(begin.nominal_value), float(end.nominal_value))
        words = tr(
            "The hip places of the last whole step before {x} m do not run forwards. Look at them, and at "
            "the direction of the run."
        )
        return _Backwards(words.format(x=signed(x))), (None, None)
    missing = tr("No whole step with the hip at both touchdowns ends before {x} m.").format(x=signed(x))
    return NoValue(missing), (None, None)


def _speed_notes(reading: SpeedReading) -> list[str]:
    x, local, model, last = reading.x_m, reading.local_m_s, reading.model_m_s, reading.last_step_m_s
    if isinstance(local, NoValue) and isinstance(last, _Backwards):
        return [last.reason]
    begin, end = reading.last_step_from_m, reading.last_step_to_m
    if isinstance(local, NoValue) and not isinstance(last, NoValue) and begin is not None and end is not None:
        words = tr(
            "No speed at {x} m: the mean velocity of the last whole step before it, {begin} to {end} m, "
            "stands instead, {v:.2f} m/s."
        )
        return [words.format(x=signed(x), v=last.value, begin=signed(begin, ".1f"), end=signed(end, ".1f"))]
    if isinstance(model, NoValue):  # a curve that does not hold says where to look
        return [] if isinstance(local, NoValue) else [model.reason]
    if not reading.ways_told_apart or isinstance(local, NoValue):
        return []
    return [
        tr(
            "At {x} m the two ways of reading the speed differ by {dv:.2f} m/s, more than their "
            "errors. Look at the hip places around it."
        ).format(x=signed(x), dv=abs(local.value - model.value))
    ]
