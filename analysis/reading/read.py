"""``read(evidence)``: one pure function, no clock, no files, no pictures."""

from __future__ import annotations

import math
from dataclasses import replace

from analysis.ground.ground import Ground
from analysis.ground.place import HipTrack
from analysis.ground.straightening import straight_lines
from analysis.reading import parts
from analysis.reading.body import in_order, mass_model
from analysis.reading.camera import camera_notes, camera_reading, missing_notes, with_lost_lines
from analysis.reading.checks import checked_points, point_notes, slipped
from analysis.reading.first_cause import beyond_the_film, first_cause
from analysis.reading.found import found_measures
from analysis.reading.mass_track import coverage_note
from analysis.reading.notes import mark_doubts, pair_notes, place_notes, tagging_notes
from analysis.reading.pairs import with_breaks
from analysis.reading.posture import partial_notes
from analysis.reading.questions import ASKED_FOR, judge
from analysis.reading.uncollected import uncollected
from analysis.steps.doubts import Doubt, by_step
from analysis.steps.table import StepTimes, frames_decide
from analysis.values.about import about
from analysis.values.bands import group_of
from analysis.values.estimate import NoValue, Result
from analysis.values.evidence import Evidence, TrackedPoint
from analysis.values.posture import Moment
from analysis.values.reading import HipPlace, MarkReading, Reading, StartReading, StepReading
from analysis.values.run import Run, Side
from analysis.values.starting_bands import bands_for
from analysis.values.words import tr


@uncollected
def read(evidence: Evidence) -> Reading:
    """Everything that can be read off a run as it is marked by now.

    Never raises for marking that is incomplete or contradicts itself: a number that can't be had is a
    ``NoValue`` with a sentence, and contradictions stand among the doubts, with which the notes begin.
    """
    run, film = _counted(_sound_lines(evidence.run)), evidence.film
    checked = checked_points(run.points, run.footfalls, run.start, run.direction, film)
    run = run if checked.points is run.points else replace(run, points=checked.points)
    times = film.times
    timing = parts.timed(run.footfalls, run.start, times, evidence.tagging)
    view, ground = parts.ground_of(replace(evidence, run=run))
    on_ground = isinstance(ground, Ground)
    points = parts.pointed(
        run.points,
        evidence.tracks,
        timing,
        view,
        on_ground,
        film.frames,
    )
    model = mass_model(evidence.athlete)
    first = int(run.first_frame)
    whole = parts.embodied(ground, run.direction, points, timing, times, model, first)
    by_mass = evidence.tracked is TrackedPoint.CENTRE_OF_MASS
    places = parts.placed(ground, points, timing, times, whole if by_mass else None)
    speeds = parts.sped(run.report_at_m, ground, timing, places)
    lines = straight_lines(points.view, run.lines)
    angles = parts.angled(ground, run.direction)
    angles.learn((n.lower, n.upper, n.error_px, n.error_px) for n in lines if 0 <= n.frame < film.frames)
    segments = parts.segments(lines, points, angles, whole, timing)
    rows = [*whole.rows, *parts.trunk_rows(segments.trunks, whole, timing)]
    for side in Side:
        rows += parts.leg_rows(side, segments.shins[side], segments.trunks, timing)
    at = {(row.measure, row.step, row.moment): row.result for row in rows}
    start = _start_reading(timing, places, at)
    walk = parts.walking(timing, places)
    found = found_measures(
        ASKED_FOR,
        rows,
        start,
        run.start,
        timing.steps,
        walk.series[0],
        [shown[0] for shown in timing.shown],
        checked.wrong_legs,
    )
    bands = bands_for(run, evidence.athlete) if evidence.bands is None else evidence.bands
    judgement = judge(found, walk.candidates, bands, group_of(run, evidence.athlete))
    pairs = with_breaks(walk.candidates.shown, judgement.rhythm)
    doubts = [*timing.doubts, *places.doubts]
    asked = by_step([*doubts, *(Doubt(None, sentence) for sentence in mark_doubts(run, ground))])
    notes = list(asked)
    if len(run.lines) < len(evidence.run.lines) or points.used.every.lost:
        notes.append(
            tr("A point or line without a proper place in the picture was left out. Place it again.")
        )
    notes += _draft_notes(evidence.run)
    decides = frames_decide(timing.steps)
    notes += pair_notes(pairs, times.median_rate_hz, decides, evidence.tagging)
    notes += tagging_notes(evidence.tagging)
    notes += missing_notes(run, ground)
    notes += place_notes(bool(run.marks), ground, places.track, places.shoes)
    notes += coverage_note(places.track, places.hips) if by_mass else ()
    notes += camera_notes(run, view)
    notes += partial_notes(rows)
    notes += speeds.notes
    slips = slipped(evidence.tracks, run.footfalls, film)
    point_doubts = tuple(sorted((*checked.doubts, *slips), key=lambda d: d.frame))
    notes += point_notes(evidence, point_doubts)
    return Reading(
        frames=film.frames,
        capture_rate_hz=times.median_rate_hz,
        start=start,
        steps=tuple(_step_reading(n, timing, places, at) for n in range(len(timing.steps))),
        splits=speeds.splits,
        speeds=speeds.speeds,
        lines=with_lost_lines(run, parts.lined(angles, film.frames).read(lines)),
        pairs=pairs,
        notes=tuple(dict.fromkeys(notes)),
        marks=_mark_readings(ground),
        path=_path(places.track),
        doubts=asked,
        point_doubts=point_doubts,
        camera=camera_reading(run, ground, view),
        speed_band=speeds.band,
        force=parts.forced(speeds, places, evidence.athlete),
        posture=in_order(rows),
        series=whole.series,
        lines_between=parts.lines_between(whole, evidence.lines_between),
        mass_path=whole.path,
        questions=judgement.answers,
        rhythm=judgement.rhythm,
        first_cause=first_cause(
            judgement.answers, run.overruled, judgement.unsaid, beyond_the_film(run, times)
        ),
        about=about(run),
    )


def _counted(run: Run) -> Run:
    """The run with its proposed events as if they were tags, where the coach wants them counted; else without
    those of its start, as the steps leave out proposed footfalls themselves.
    """
    if not run.count_drafts:
        return run if not run.start.drafts else replace(run, start=run.start.confirmed)
    footfalls = tuple(replace(f, draft=False) for f in run.footfalls)
    return replace(run, footfalls=footfalls, start=replace(run.start, drafts=()))


def _draft_notes(said: Run) -> list[str]:
    """That proposed events count, where some do."""
    count = sum(f.draft for f in said.footfalls) + len(said.start.drafts)
    if not (said.count_drafts and count):
        return []
    if count == 1:
        return [tr("1 draft counts in this reading though nobody has confirmed it.")]
    words = tr("{count} drafts count in this reading though nobody has confirmed them.")
    return [words.format(count=count)]


def _sound_lines(run: Run) -> Run:
    """The run without lines that have no proper place or error in pixels."""
    lines = tuple(
        n for n in run.lines if math.isfinite(sum(n.lower) + sum(n.upper) + n.error_px) and n.error_px > 0
    )
    return run if len(lines) == len(run.lines) else replace(run, lines=lines)


Found = dict[tuple[str, int, Moment], Result]
"""Measures of posture by name, step and moment."""


def _start_reading(timing: parts.Timed, places: parts.Placed, at: Found) -> StartReading:
    rear, front, flight = timing.shown_push
    return StartReading(
        rear_foot_push_s=rear,
        front_foot_push_s=front,
        first_flight_s=flight,
        first_step_length_m=places.shown_first,
        trunk_lead_deg=at["trunk_lead_deg", 0, Moment.PUSH],
        hip_share=at["hip_share", 0, Moment.PUSH],
        projection_deg=at["projection_deg", 0, Moment.FLIGHT],
    )


def _step_reading(place: int, timing: parts.Timed, places: parts.Placed, at: Found) -> StepReading:
    step: StepTimes = timing.steps[place]
    down, off, after = step.touchdown, step.toe_off, step.next_touchdown
    contact, flight, step_time, frequency, flight_to_contact, duty_factor = timing.shown[place]
    length, velocity, gained, foot_to_foot = places.shown[place]
    return StepReading(
        step=step.step,
        footfall_id=step.footfall.id,
        side=step.footfall.side,
        touchdown=step.footfall.touchdown,
        toe_off=step.footfall.toe_off,
        begins_s=down.seconds if down else None,
        lifts_s=off.seconds if off else None,
        ends_s=after.seconds if after else None,
        contact_s=contact,
        flight_s=flight,
        step_time_s=step_time,
        step_frequency_hz=frequency,
        step_length_m=length,
        step_velocity_m_s=velocity,
        foot_to_foot_speed_m_s=foot_to_foot,
        flight_to_contact=flight_to_contact,
        duty_factor=duty_factor,
        speed_gained_m_s=gained,
        touchdown_distance_m=at["touchdown_distance_m", step.step, Moment.TOUCHDOWN],
        shin_touchdown_deg=at["shin_deg", step.step, Moment.TOUCHDOWN],
        shin_toe_off_deg=at["shin_deg", step.step, Moment.TOE_OFF],
        trunk_touchdown_deg=at["trunk_deg", step.step, Moment.TOUCHDOWN],
        com_height_touchdown_m=at["com_height_m", step.step, Moment.TOUCHDOWN],
    )


def _path(track: HipTrack | NoValue) -> tuple[HipPlace, ...]:
    if isinstance(track, NoValue):
        return ()
    return tuple(map(HipPlace, track.times_s.tolist(), track.places.x.tolist()))


def _mark_readings(ground: Ground | NoValue) -> tuple[MarkReading, ...]:
    if isinstance(ground, NoValue):
        return ()
    return tuple(MarkReading(r.mark_id, r.du, r.dv, r.sigmas) for r in ground.residuals)
