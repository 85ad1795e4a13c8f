"""The stages of ``read``: each a pure function of few values, worked out once for the same ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.body.angle import AngleReader
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces
from analysis.body.placing import body_places
from analysis.body.series import angle_series, line_between, mass_path
from analysis.ground.carried import Number, result
from analysis.ground.ground import Ground, read_ground
from analysis.ground.place import HIPS, HipTrack, place_hips
from analysis.ground.point_rows import PointRows, straight_rows
from analysis.ground.points import PointsByName
from analysis.ground.straightening import straight_points
from analysis.ground.view import View
from analysis.reading import body as bodies
from analysis.reading.breaks import RhythmCandidates, rhythm_candidates
from analysis.reading.followed import PointsUsed, RowsUsed, points_used
from analysis.reading.mass_track import mass_track
from analysis.reading.posture import LineReader, SegmentAtEvents, events_of
from analysis.reading.series import StepSeries, step_series
from analysis.reading.speeds import SpeedStage, read_speeds, step_clock
from analysis.reading.stages import stage
from analysis.speed.force import force_reading
from analysis.speed.pelvis import with_turning_pelvis
from analysis.speed.swing import StepClock
from analysis.steps.doubts import Doubt
from analysis.steps.places import StepPlaces, step_places
from analysis.steps.plausible import length_questions, time_questions
from analysis.steps.shoes import first_step_length, set_shoe, shoe_places
from analysis.steps.table import StartTimes, StepTimes, start_times, step_times
from analysis.values.camera import CameraPath, Lens
from analysis.values.estimate import NoValue, Result
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameTimes
from analysis.values.posture import MassPath, PostureReading, Series
from analysis.values.reading import ForceReading
from analysis.values.run import Athlete, BodyPoint, Direction, Footfall, Line, LineKind, Run, Side, StartPush
from analysis.values.tagging import TaggingError
from analysis.values.tracks import Tracks
from analysis.values.words import tr


@dataclass(frozen=True, eq=False)
class Timed:
    """Steps and start by their tags. ``shown``: contact, flight, step time, frequency, flight to contact and
    duty factor of each step; ``shown_push``: push of rear and front foot, and the first flight.
    """

    steps: tuple[StepTimes, ...]
    start: StartTimes
    push: StartPush
    clock: StepClock | NoValue
    doubts: tuple[Doubt, ...]
    shown: tuple[tuple[Result, ...], ...]
    shown_push: tuple[Result, Result, Result]


@stage
def timed(
    footfalls: tuple[Footfall, ...], push: StartPush, times: FrameTimes, tagging: TaggingError | None
) -> Timed:
    """What the tags alone say."""
    steps, doubts = step_times(footfalls, times, tagging)
    start, start_doubts = start_times(push, steps, times, tagging)
    shown = tuple(
        (
            result(s.contact),
            result(s.flight),
            result(s.step_time),
            s.frequency,
            s.flight_to_contact,
            s.duty_factor,
        )
        for s in steps
    )
    pushes = (result(start.rear_push), result(start.front_push), result(start.first_flight))
    asked = (*doubts, *start_doubts, *time_questions(start, steps))
    return Timed(steps, start, push, step_clock(steps), asked, shown, pushes)


def ground_of(evidence: Evidence) -> tuple[View, Ground | NoValue]:
    """How pixels of the film's frames become straight pixels of one picture, and the ground that the run's
    marks give there.
    """
    film, run, athlete = evidence.film, evidence.run, evidence.athlete
    view = _view(film, evidence.lens, evidence.camera)
    ground = _ground(_scaled(run, ()), film, view, athlete)
    if isinstance(ground, NoValue):  # points count only where the athlete's stature may be the scale
        ground = _ground(_scaled(run, run.points), film, view, athlete)
    return view, ground


@stage
def _view(film: FilmFacts, lens: Lens | None, camera: CameraPath | None) -> View:
    return View(film.width, film.height, lens, camera, film.times.median_rate_hz)


@stage
def _ground(scaled: Run, film: FilmFacts, view: View, athlete: Athlete | None) -> Ground | NoValue:
    return read_ground(scaled, film.width, film.height, view, athlete)


def _scaled(run: Run, points: tuple[BodyPoint, ...]) -> Run:
    """The run with nothing but what its scale rests on, and these points."""
    return Run(
        id="",
        film_id="",
        name="",
        first_frame=run.first_frame,
        last_frame=run.last_frame,
        direction=run.direction,
        camera_distance_m=run.camera_distance_m,
        marks=run.marks,
        points=points,
        lane_offset_m=run.lane_offset_m,
        lane_offset_u_m=run.lane_offset_u_m,
    )


@dataclass(frozen=True, eq=False)
class Points:
    """Points in straight pixels of the reference, as ``view`` makes them; ``used``: as they were placed."""

    used: PointsUsed
    rows: dict[str, PointRows]
    named: dict[str, PointRows]
    drawn: PointsByName
    leaving: dict[str, PointRows]
    view: View


@stage
def pointed(
    placed: tuple[BodyPoint, ...],
    tracks: Tracks | None,
    timing: Timed,
    view: View,
    on_ground: bool,
    frames: int,
) -> Points:
    """The points that a reading rests on; ``placed``: by the coach.

    Without a ground frames of a turning camera are only turned: good for angles.
    """
    used = points_used(placed, tracks, timing.push, timing.steps, frames)
    seen_as = view if on_ground else _turned(view)
    rows = _straight(used.every, seen_as)
    named, leaving = (straight_rows(p, seen_as) for p in (used.named, used.leaving))
    drawn = straight_points(used.drawn, seen_as) if used.drawn else {}
    return Points(used, rows, named, drawn, leaving, seen_as)


@stage
def _turned(view: View) -> View:
    return view.turned()


@stage
def _straight(used: RowsUsed, seen_as: View) -> dict[str, PointRows]:
    """Points on every frame that holds them, in straight pixels."""
    return straight_rows(used.rows, seen_as)


@dataclass(frozen=True, eq=False)
class Placed:
    """Shoes and hips along the line. ``leaving``: the hips up to the front foot's toe-off, as close together
    as they are known. ``track``: what speeds are read from, ``hips`` or the centre of mass.
    ``shown``: length, velocity, velocity gained and foot-to-foot speed of each step.
    """

    hips: HipTrack | NoValue
    leaving: HipTrack | NoValue
    track: HipTrack | NoValue
    shoes: list[Number]
    steps: StepPlaces
    shown: tuple[tuple[Result, Result, Result, Result], ...]
    shown_first: Result
    doubts: tuple[Doubt, ...]


@stage
def placed(
    ground: Ground | NoValue, points: Points, timing: Timed, times: FrameTimes, body: Embodied | None
) -> Placed:
    """Where shoes and hips are, and the steps between them. ``body``: where its centre of mass counts in
    place of the hips.
    """
    hips = _track(points.named, ground, times)
    if isinstance(hips, HipTrack) and not isinstance(timing.clock, NoValue):
        hips = with_turning_pelvis(hips, timing.clock)
    leaving = _track(points.leaving, ground, times) if points.used.leaving else hips
    track = hips if body is None else mass_track(body.body, body.model, hips)
    shoes = shoe_places(ground, timing.steps, points.named, times, timing.push)
    steps = step_places(timing.steps, shoes, track)
    at_set = set_shoe(ground, timing.push, timing.start.front_toe_off, timing.steps, points.named, times)
    first = first_step_length(ground, shoes, at_set)
    shown = tuple(
        (result(length), result(velocity), result(gained), foot_to_foot)
        for length, velocity, gained, foot_to_foot in zip(
            steps.lengths, steps.velocities, steps.gained, steps.foot_to_foot, strict=True
        )
    )
    asked = tuple(length_questions(first, steps.lengths, steps.velocities))
    return Placed(hips, leaving, track, shoes, steps, shown, result(first), asked)


@dataclass(frozen=True, eq=False)
class Walking:
    """The numbers over the steps, and what may stand out in them."""

    series: tuple[StepSeries, ...]
    candidates: RhythmCandidates


@stage
def walking(timing: Timed, places: Placed) -> Walking:
    """How contact, flight, length and velocity go from step to step."""
    series = step_series(timing.steps, places.steps)
    return Walking(series, rhythm_candidates(series))


def _track(
    points: Mapping[str, PointRows], ground: Ground | NoValue, times: FrameTimes
) -> HipTrack | NoValue:
    if isinstance(ground, NoValue):
        return ground
    if not any(name in points for name in HIPS):
        return NoValue(tr("Place the hip at every touchdown and toe-off."))
    return place_hips(ground, points, times.seconds)


@stage
def sped(
    report_at_m: tuple[float, ...], ground: Ground | NoValue, timing: Timed, places: Placed
) -> SpeedStage:
    """Splits and speeds."""
    steps = places.steps
    return read_speeds(
        report_at_m,
        ground,
        places.leaving,
        places.track,
        timing.clock,
        timing.steps,
        timing.start,
        steps.hips,
        steps.velocities,
    )


@stage
def forced(speeds: SpeedStage, places: Placed, athlete: Athlete | None) -> ForceReading:
    """What the curve means for the forces; a model's results."""
    track = places.track
    filmed = float(np.ptp(track.places.x)) if isinstance(track, HipTrack) and len(track) else 0.0
    return force_reading(speeds.curve, filmed, athlete)


@dataclass(frozen=True, eq=False)
class Embodied:
    """The body over the frames, and the measures that hang on its points alone."""

    body: BodyPlaces
    model: MassModel
    rest: bodies.Rest | NoValue
    series: tuple[Series, ...]
    path: MassPath | None
    rows: tuple[PostureReading, ...]


@dataclass(frozen=True, eq=False)
class Bodied:
    """The body over the frames, whatever is tagged."""

    body: BodyPlaces
    series: tuple[Series, ...]
    path: MassPath | None


@stage
def bodied(
    ground: Ground | NoValue,
    direction: Direction,
    rows: dict[str, PointRows],
    used: RowsUsed,
    times: FrameTimes,
    model: MassModel,
) -> Bodied:
    """Places, angles and the centre of mass over the frames. ``rows``: the points that are ``used``, in
    straight pixels.
    """
    body = body_places(ground, direction, rows, times.seconds, used.memory)
    return Bodied(body, tuple(angle_series(body)), mass_path(body, used.rows, model))


@stage
def embodied(
    ground: Ground | NoValue,
    direction: Direction,
    points: Points,
    timing: Timed,
    times: FrameTimes,
    model: MassModel,
    first_frame: int,
) -> Embodied:
    """Posture by points."""
    whole = bodied(ground, direction, points.rows, points.used.every, times, model)
    body = whole.body.afresh()
    rest = bodies.rest_of(body, first_frame, timing.push)
    table = bodies.BodyRows(body, model, whole.series)
    table.ahead(rest, timing.push, timing.start, timing.steps)
    table.start(rest, timing.push, timing.start, timing.steps[0] if timing.steps else None)
    for step in timing.steps:
        table.step(step)
    table.joints()
    return Embodied(body, model, rest, whole.series, whole.path, tuple(table.rows))


@stage
def lines_between(whole: Embodied, asked: tuple[tuple[str, str], ...]) -> tuple[Series, ...]:
    """Angles of the lines between body points that were asked for, those that can be read."""
    found = (line_between(whole.body, lower, upper) for lower, upper in asked)
    return tuple(series for series in found if series is not None)


@stage
def angled(ground: Ground | NoValue, direction: Direction) -> AngleReader:
    """The reader of angles of a film."""
    return AngleReader(ground, direction)


@stage
def lined(angles: AngleReader, frames: int) -> LineReader:
    """The reader of drawn lines of a film."""
    return LineReader(angles, frames)


@dataclass(frozen=True, eq=False)
class Segments:
    """Shin of either leg and trunk at events."""

    shins: dict[Side, SegmentAtEvents]
    trunks: SegmentAtEvents


def segments(
    lines: Sequence[Line], points: Points, angles: AngleReader, whole: Embodied, timing: Timed
) -> Segments:
    """Shins and trunk; a line that changes touches its own segment only."""

    def of(kind: LineKind, side: Side | None) -> SegmentAtEvents:
        own = tuple(n for n in lines if n.kind is kind and (side is None or n.side in (side, None)))
        return _segment(side, own, points, angles, whole, timing)

    return Segments({side: of(LineKind.SHIN, side) for side in Side}, of(LineKind.TRUNK, None))


@stage
def _segment(
    side: Side | None,
    lines: tuple[Line, ...],
    points: Points,
    angles: AngleReader,
    whole: Embodied,
    timing: Timed,
) -> SegmentAtEvents:
    frames = len(whole.body.seconds)
    of_foot = () if side is None else events_of(side, timing.steps, timing.push, frames)
    return SegmentAtEvents(side, lines, points.drawn, angles, whole.body, of_foot)


@stage
def trunk_rows(trunks: SegmentAtEvents, whole: Embodied, timing: Timed) -> tuple[PostureReading, ...]:
    """See ``analysis.reading.body.trunk_rows``."""
    return tuple(bodies.trunk_rows(trunks, whole.rest, timing.start, timing.steps))


@stage
def leg_rows(
    side: Side, shins: SegmentAtEvents, trunks: SegmentAtEvents, timing: Timed
) -> tuple[PostureReading, ...]:
    """See ``analysis.reading.body.leg_rows``."""
    found = bodies.leg_rows(side, shins, trunks, timing.push, timing.start, timing.steps)
    return tuple(found)
