"""``read(evidence)``: one pure function, no clock, no files, no pictures."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.body.angle import AngleReader
from analysis.body.segment import SegmentReader
from analysis.ground.carried import Number, estimate, result, told_apart
from analysis.ground.ground import Ground, read_ground
from analysis.ground.place import HipTrack, place_hips
from analysis.ground.points import PointsByName, by_name
from analysis.reading.posture import EventAngles, event_angles, line_readings
from analysis.reading.speeds import read_speeds
from analysis.steps.hips import hip_at, step_velocity
from analysis.steps.plausible import length_questions, time_questions
from analysis.steps.shoes import first_step_length, set_shoe, shoe_places, step_length
from analysis.steps.table import StartTimes, StepTimes, start_times, step_times
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.reading import MarkReading, PairReading, Reading, StartReading, StepReading
from analysis.values.run import Run
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

EXTRAPOLATED_M = 0.3
"""How far beyond the outermost marks a place must lie to be said, m."""


@dataclass(frozen=True)
class StepPlaces:
    """Per step, m and m/s: place of its shoe, hip centre at its touchdown, step length, velocity,
    foot-to-foot speed.
    """

    shoes: list[Number]
    hips: list[Number]
    lengths: list[Number]
    velocities: list[Number]
    foot_to_foot: list[Number]


def read(evidence: Evidence) -> Reading:
    """Everything that can be read off a run as it is marked by now.

    Never raises for marking that is incomplete or contradicts itself: a number that can't be had is a
    ``NoValue`` with a sentence, and contradictions stand among the notes.
    """
    run, film = _sound_lines(evidence.run), evidence.film
    points = by_name(run.points)
    seconds = film.times.seconds
    steps, notes = step_times(run.footfalls, film.times)
    start, start_notes = start_times(run.start, steps, film.times)
    ground = read_ground(run, film.width, film.height)
    track = _track(points, ground, seconds)
    shoes = shoe_places(ground, steps, points, film.times)
    places = step_places(steps, shoes, track)
    first_length = first_step_length(
        ground, shoes, set_shoe(ground, run.start.front_side, points, start.front_toe_off)
    )
    angles = AngleReader(ground, run.direction)
    posture = event_angles(SegmentReader(run.lines, points, angles), steps, seconds)
    speeds = read_speeds(run, ground, track, steps, start, places.hips, places.velocities)
    pairs = read_pairs(steps)
    if run is not evidence.run or sum(len(named) for named in points.values()) < len(run.points):
        notes.append(
            tr("A point or line without a proper place in the picture was left out. Place it again.")
        )
    notes += start_notes
    notes += time_questions(start, steps)
    notes += length_questions(first_length)
    notes += _pair_notes(pairs, film.times.median_rate_hz)
    notes += _place_notes(run, ground, track, shoes)
    notes += posture.notes
    notes += speeds.notes
    return Reading(
        frames=film.frames,
        capture_rate_hz=film.times.median_rate_hz,
        start=_start_reading(start, first_length),
        steps=tuple(_step_reading(n, step, places, posture) for n, step in enumerate(steps)),
        splits=speeds.splits,
        speeds=speeds.speeds,
        lines=line_readings(run, angles, film.frames),
        pairs=pairs,
        notes=tuple(dict.fromkeys(notes)),
        marks=_mark_readings(ground),
    )


def _sound_lines(run: Run) -> Run:
    """The run without lines that have no proper place or error in pixels."""
    lines = tuple(
        n for n in run.lines if math.isfinite(sum(n.lower) + sum(n.upper) + n.error_px) and n.error_px > 0
    )
    return run if len(lines) == len(run.lines) else replace(run, lines=lines)


def step_places(steps: tuple[StepTimes, ...], shoes: list[Number], track: HipTrack | NoValue) -> StepPlaces:
    """Lengths and speeds of the steps from shoes and hips."""
    hips = [NoValue(s.broken) if s.broken else hip_at(track, s.touchdown) for s in steps]
    last = len(steps) - 1
    lengths = [step_length(s, shoes[n], shoes[n + 1] if n < last else None) for n, s in enumerate(steps)]
    velocities = [
        step_velocity(s, hips[n], hips[n + 1]) if n < last else _of(s.step_time) for n, s in enumerate(steps)
    ]
    return StepPlaces(
        shoes, hips, lengths, velocities, [_over(a, s.step_time) for a, s in zip(lengths, steps, strict=True)]
    )


def read_pairs(steps: tuple[StepTimes, ...]) -> tuple[PairReading, ...]:
    """Contact and flight of every two successive steps: the difference, and whether it can be told at 95
    %.
    """
    pairs = []
    for measure in ("contact_s", "flight_s"):
        name = measure.removesuffix("_s")
        for one, two in pairwise(steps):
            first: Number = getattr(one, name)
            second: Number = getattr(two, name)
            pairs.append(_pair(measure, one.step, first, second))
    return tuple(pairs)


def _pair(measure: str, step: int, first: Number, second: Number) -> PairReading:
    if isinstance(first, NoValue):
        return PairReading(measure, step, step + 1, first, False)
    if isinstance(second, NoValue):
        return PairReading(measure, step, step + 1, second, False)
    return PairReading(measure, step, step + 1, estimate(second - first), told_apart(first, second))


def _track(points: PointsByName, ground: Ground | NoValue, seconds: Floats) -> HipTrack | NoValue:
    if isinstance(ground, NoValue):
        return ground
    hips = [*points.get("left_hip", ()), *points.get("right_hip", ())]
    if not hips:
        return NoValue(tr("Place the hip at every touchdown and toe-off."))
    return place_hips(ground, hips, seconds)


def _over(above: Number, below: Number) -> Number:
    if isinstance(above, NoValue):
        return above
    return below if isinstance(below, NoValue) else above / below


def _of(number: Number) -> NoValue:
    """The reason why the last step has no velocity."""
    return number if isinstance(number, NoValue) else NoValue(tr("There is no next touchdown."))


def not_yet(name: str) -> NoValue:
    """What a measure says that this version does not read."""
    return NoValue(tr("{name} is not read yet by this version.").format(name=name))


def _start_reading(start: StartTimes, first_length: Number) -> StartReading:
    return StartReading(
        rear_foot_push_s=result(start.rear_push),
        front_foot_push_s=result(start.front_push),
        first_flight_s=result(start.first_flight),
        first_step_length_m=result(first_length),
        trunk_lead_deg=not_yet(tr("Trunk lead")),
        hip_share=not_yet(tr("Hip share")),
        projection_deg=not_yet(tr("Projection angle")),
    )


def _step_reading(place: int, step: StepTimes, places: StepPlaces, posture: EventAngles) -> StepReading:
    down, off, after = step.touchdown, step.toe_off, step.next_touchdown
    return StepReading(
        step=step.step,
        footfall_id=step.footfall.id,
        side=step.footfall.side,
        touchdown=step.footfall.touchdown,
        toe_off=step.footfall.toe_off,
        begins_s=down.seconds if down else None,
        lifts_s=off.seconds if off else None,
        ends_s=after.seconds if after else None,
        contact_s=result(step.contact),
        flight_s=result(step.flight),
        step_time_s=result(step.step_time),
        step_frequency_hz=result(step.frequency),
        step_length_m=result(places.lengths[place]),
        step_velocity_m_s=result(places.velocities[place]),
        foot_to_foot_speed_m_s=result(places.foot_to_foot[place]),
        flight_to_contact=result(step.flight_to_contact),
        touchdown_distance_m=not_yet(tr("Touchdown distance")),
        shin_touchdown_deg=posture.shin_touchdown[place],
        shin_toe_off_deg=posture.shin_toe_off[place],
        trunk_touchdown_deg=posture.trunk_touchdown[place],
        com_height_touchdown_m=not_yet(tr("Height of the centre of mass")),
    )


def _mark_readings(ground: Ground | NoValue) -> tuple[MarkReading, ...]:
    if isinstance(ground, NoValue):
        return ()
    return tuple(MarkReading(r.mark_id, r.du, r.dv, r.sigmas) for r in ground.residuals)


def _pair_notes(pairs: tuple[PairReading, ...], rate_hz: float | None) -> list[str]:
    notes = []
    for measure, words in (("contact_s", tr("contact time")), ("flight_s", tr("flight time"))):
        read_ones = [p for p in pairs if p.measure == measure and not isinstance(p.difference, NoValue)]
        untold = [p for p in read_ones if not p.told_apart]
        if untold and rate_hz is not None:
            notes.append(
                tr(
                    "Step to step, {untold} of {count} differences in {measure} cannot be told apart at "
                    "this frame rate "
                    "({rate:.0f} a second)."
                ).format(untold=len(untold), count=len(read_ones), measure=words, rate=rate_hz)
            )
    return notes


def _place_notes(
    run: Run, ground: Ground | NoValue, track: HipTrack | NoValue, shoes: list[Number]
) -> list[str]:
    if isinstance(ground, NoValue):
        return [ground.reason] if run.marks else []
    notes = list(ground.notes)
    far: list[tuple[float, float]] = [
        (float(s.nominal_value), float(s.std_dev)) for s in shoes if not isinstance(s, NoValue)
    ]
    if isinstance(track, HipTrack):
        far += list(zip(track.places.x.tolist(), track.places.u().tolist(), strict=True))
        single = int(np.count_nonzero(track.single))
        if single:
            notes.append(
                tr(
                    "One hip only on {count} of {frames} frames: the hip centre there is that hip, "
                    "corrected for its "
                    "distance from the middle of the body."
                ).format(count=single, frames=len(track))
            )
    beyond = [f for f in far if f[0] < ground.from_m - EXTRAPOLATED_M or f[0] > ground.to_m + EXTRAPOLATED_M]
    if beyond:
        x, u = max(beyond, key=lambda f: max(ground.from_m - f[0], f[0] - ground.to_m))
        notes.append(
            tr(
                "Places outside the marked stretch ({begin:g} to {end:g} m) are extrapolated: at {x:.1f} m "
                "the standard "
                "uncertainty has grown to {cm:.0f} cm. Marks farther out would help."
            ).format(begin=ground.from_m, end=ground.to_m, x=x, cm=100 * u)
        )
    return notes
