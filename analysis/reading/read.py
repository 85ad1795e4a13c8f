"""``read(evidence)``: one pure function, no clock, no files, no pictures."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analysis.body.angle import AngleReader
from analysis.body.segment import SegmentReader
from analysis.ground.carried import Number, result
from analysis.ground.ground import Ground, read_ground
from analysis.ground.place import HipTrack, place_hips
from analysis.ground.points import PointsByName, by_name
from analysis.ground.straightening import straight_lines, straight_points
from analysis.reading.camera import camera_notes, camera_reading, missing_notes, view_of, with_lost_lines
from analysis.reading.notes import mark_doubts, pair_notes, place_notes
from analysis.reading.pairs import read_pairs
from analysis.reading.posture import EventAngles, event_angles, line_readings
from analysis.reading.speeds import read_speeds, step_clock
from analysis.speed.pelvis import with_turning_pelvis
from analysis.steps.doubts import Doubt, by_step
from analysis.steps.places import StepPlaces, step_places
from analysis.steps.plausible import length_questions, time_questions
from analysis.steps.shoes import first_step_length, set_shoe, shoe_places
from analysis.steps.table import StartTimes, StepTimes, frames_decide, start_times, step_times
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.reading import HipPlace, MarkReading, Reading, StartReading, StepReading
from analysis.values.run import Run
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]


def read(evidence: Evidence) -> Reading:
    """Everything that can be read off a run as it is marked by now.

    Never raises for marking that is incomplete or contradicts itself: a number that can't be had is a
    ``NoValue`` with a sentence, and contradictions stand among the doubts, with which the notes begin.
    """
    run, film = _sound_lines(evidence.run), evidence.film
    points = by_name(run.points)
    seconds = film.times.seconds
    steps, doubts = step_times(run.footfalls, film.times, evidence.tagging)
    start, start_doubts = start_times(run.start, steps, film.times, evidence.tagging)
    view = view_of(evidence)
    ground = read_ground(run, film.width, film.height, view, evidence.athlete)
    placed: PointsByName = points
    lines = run.lines
    if not view.plain:
        seen_as = view.turned() if isinstance(ground, NoValue) else view
        placed, lines = straight_points(points, seen_as), straight_lines(seen_as, run.lines)
    clock = step_clock(steps)
    track = _track(placed, ground, seconds)
    if isinstance(track, HipTrack) and not isinstance(clock, NoValue):
        track = with_turning_pelvis(track, clock)
    shoes = shoe_places(ground, steps, placed, film.times, run.start)
    places = step_places(steps, shoes, track)
    at_set = set_shoe(ground, run.start, start.front_toe_off, steps, placed, film.times)
    first_length = first_step_length(ground, shoes, at_set)
    angles = AngleReader(ground, run.direction)
    posture = event_angles(SegmentReader(lines, placed, angles), steps, run.start, seconds)
    speeds = read_speeds(run, ground, track, clock, steps, start, places.hips, places.velocities)
    pairs = read_pairs(steps)
    doubts += [*start_doubts, *time_questions(start, steps), *length_questions(first_length)]
    asked = by_step([*doubts, *(Doubt(None, sentence) for sentence in mark_doubts(run, ground))])
    notes = list(asked)
    if run is not evidence.run or sum(len(named) for named in points.values()) < len(run.points):
        notes.append(
            tr("A point or line without a proper place in the picture was left out. Place it again.")
        )
    notes += pair_notes(pairs, film.times.median_rate_hz, frames_decide(steps))
    notes += missing_notes(run, ground)
    notes += place_notes(bool(run.marks), ground, track, shoes)
    notes += camera_notes(run, view)
    notes += posture.notes
    notes += speeds.notes
    return Reading(
        frames=film.frames,
        capture_rate_hz=film.times.median_rate_hz,
        start=_start_reading(start, first_length),
        steps=tuple(_step_reading(n, step, places, posture) for n, step in enumerate(steps)),
        splits=speeds.splits,
        speeds=speeds.speeds,
        lines=with_lost_lines(run, line_readings(lines, angles, film.frames)),
        pairs=pairs,
        notes=tuple(dict.fromkeys(notes)),
        marks=_mark_readings(ground),
        path=_path(track),
        doubts=asked,
        camera=camera_reading(run, ground, view),
        speed_band=speeds.band,
    )


def _sound_lines(run: Run) -> Run:
    """The run without lines that have no proper place or error in pixels."""
    lines = tuple(
        n for n in run.lines if math.isfinite(sum(n.lower) + sum(n.upper) + n.error_px) and n.error_px > 0
    )
    return run if len(lines) == len(run.lines) else replace(run, lines=lines)


def _track(points: PointsByName, ground: Ground | NoValue, seconds: Floats) -> HipTrack | NoValue:
    if isinstance(ground, NoValue):
        return ground
    hips = [*points.get("left_hip", ()), *points.get("right_hip", ())]
    if not hips:
        return NoValue(tr("Place the hip at every touchdown and toe-off."))
    return place_hips(ground, hips, seconds)


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


def _path(track: HipTrack | NoValue) -> tuple[HipPlace, ...]:
    if isinstance(track, NoValue):
        return ()
    return tuple(HipPlace(float(t), float(x)) for t, x in zip(track.times_s, track.places.x, strict=True))


def _mark_readings(ground: Ground | NoValue) -> tuple[MarkReading, ...]:
    if isinstance(ground, NoValue):
        return ()
    return tuple(MarkReading(r.mark_id, r.du, r.dv, r.sigmas) for r in ground.residuals)
