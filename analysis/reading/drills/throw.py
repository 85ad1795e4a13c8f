"""What a throw's repetition says: the implement's release, the trunk and the hips."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from analysis.body.flight_measures import GRAVITY_M_S2, direction_deg
from analysis.body.places import Moment, on_frame
from analysis.body.posture_measures import Asking, Measure, Measured, missing_points
from analysis.ground.carried import Carried, estimate, normal
from analysis.ground.ground import Ground
from analysis.reading.drills.parabola import LEAST_FRAMES, FreeFlight, free_flight
from analysis.reading.drills.whole import IMPLEMENT, Whole
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillRep
from analysis.values.estimate import NoValue
from analysis.values.words import tr

BESIDE_U_M = 0.15
"""How far beside the running line the implement flies, standard uncertainty, m (own assumption)."""
SCALE_SHARE = 0.05
"""A free fit of g that is farther off than this share is said (measures.md)."""
WIDE_SCATTER = 3.0
"""Places that lie so many times their own error from the parabola are questioned (own)."""

ANGLE, SPEED, HEIGHT, GRAVITY = (
    MeasureKey(name)
    for name in ("release_angle_deg", "release_speed_m_s", "release_height_m", "free_fall_m_s2")
)
TRUNK_AT_RELEASE = MeasureKey("trunk_at_release_deg")
HIP_TO_RELEASE, HIP_TO_LANDING = MeasureKey("hip_set_to_release_m"), MeasureKey("hip_release_to_landing_m")


def throw_measures(whole: Whole, rep: DrillRep) -> tuple[dict[MeasureKey, Measure], list[str]]:
    """The measures of one throw, and sentences on them."""
    release = whole.at(rep, DrillEvent.RELEASE)
    found: dict[MeasureKey, Measure] = {}
    flown, notes = _released(whole, rep, release)
    found.update(flown)
    found[TRUNK_AT_RELEASE] = release if isinstance(release, NoValue) else whole.trunk(release)
    begin, end = (whole.at(rep, event) for event in (DrillEvent.SET, DrillEvent.LANDING))
    found[HIP_TO_RELEASE] = hip_travel(whole, begin, release)
    found[HIP_TO_LANDING] = hip_travel(whole, release, end)
    return found, notes


def hip_travel(whole: Whole, begin: Moment | NoValue, end: Moment | NoValue) -> Measure:
    """How far the mid-hip goes forwards between two moments, m."""
    for moment in (begin, end):
        if isinstance(moment, NoValue):
            return moment
    if whole.body.no_scale is not None:
        return whole.body.no_scale
    assert isinstance(begin, Moment)
    assert isinstance(end, Moment)
    asking = Asking(whole.body)
    first, last = asking.middle("hip", begin), asking.middle("hip", end)
    return asking.result(None if first is None or last is None else last.x - first.x)


def flight_frames(whole: Whole, rep: DrillRep) -> list[int]:
    """The frames from the release to the repetition's end on which the implement was placed."""
    release, line = rep.frame_of(DrillEvent.RELEASE), whole.body.lines.get(IMPLEMENT)
    if release is None or line is None:
        return []
    return [frame for frame in line.frames.tolist() if release <= frame <= rep.last]


def _released(
    whole: Whole, rep: DrillRep, release: Moment | NoValue
) -> tuple[Mapping[MeasureKey, Measure], list[str]]:
    if isinstance(release, NoValue):
        return dict.fromkeys((ANGLE, SPEED, HEIGHT, GRAVITY), release), []
    if not isinstance(whole.ground, Ground):
        return dict.fromkeys((ANGLE, SPEED, HEIGHT, GRAVITY), whole.ground), []
    frames = flight_frames(whole, rep)
    if len(frames) < LEAST_FRAMES:
        last = min(release.frame + LEAST_FRAMES, rep.last + 1, len(whole.times))
        wanted = [(f, IMPLEMENT) for f in range(release.frame, last) if f not in frames]
        lacking: Measure = (
            missing_points(wanted)
            if len(wanted) + len(frames) >= LEAST_FRAMES
            else NoValue(
                tr("The implement leaves the picture, or the rep ends, before it has flown four frames.")
            )
        )
        return dict.fromkeys((ANGLE, SPEED, HEIGHT, GRAVITY), lacking), []
    flight = _flight(whole, frames, release.seconds)
    measures = _at_release(whole.ground, flight, release)
    kept = tuple(frames)
    return {key: Measured(value, kept) for key, value in measures.items()}, _doubts(flight)


def _flight(whole: Whole, frames: list[int], zero_s: float) -> FreeFlight:
    line = whole.body.lines[IMPLEMENT]
    places = [whole.body.at(IMPLEMENT, on_frame(frame, whole.body.seconds)) for frame in frames]
    known = [place for place in places if place is not None]
    own = line.own[line.rows(np.array(frames))]
    times = whole.body.seconds[frames] - zero_s
    return free_flight(times, [p.x for p in known], [p.y for p in known], own)


def _at_release(ground: Ground, flight: FreeFlight, release: Moment) -> dict[MeasureKey, Carried]:
    """The flight at the release, with what its own error and the distance from the camera add."""
    late = release.time - release.seconds
    vx, vy = flight.vx, flight.vy - GRAVITY_M_S2 * late
    x, y = float(vx.nominal_value), float(vy.nominal_value)
    size = math.hypot(x, y)
    nearer = normal(BESIDE_U_M / ground.camera.distance_m)  # a thing nearer to the camera looks larger
    return {
        ANGLE: direction_deg(vx, vy),
        SPEED: (vx * x + vy * y) / size * (1.0 + nearer),
        HEIGHT: flight.y + y * late,
        GRAVITY: flight.gravity * (1.0 + nearer),
    }


def _doubts(flight: FreeFlight) -> list[str]:
    notes = []
    gravity = estimate(flight.gravity)
    away = gravity.value / GRAVITY_M_S2 - 1.0
    if abs(away) > SCALE_SHARE:
        words = tr(
            "With g left free the implement falls by {g:.1f} ± {half:.1f} m/s², {away:.0f} % off 9.81: the "
            "scale is wrong by about as much. Check the marks, and whether the throw went along the line."
        )
        if gravity.low <= GRAVITY_M_S2 <= gravity.high:
            words = tr(
                "With g left free the implement falls by {g:.1f} ± {half:.1f} m/s²: the flight is too short "
                "to test the scale."
            )
        notes.append(words.format(g=gravity.value, half=gravity.half_width, away=100 * abs(away)))
    if flight.scatter > WIDE_SCATTER:
        words = tr(
            "The implement's places lie {times:.0f} times their own error beside a parabola. Look at each of "
            "them, and whether the hand had let go on the first."
        )
        notes.append(words.format(times=flight.scatter))
    return notes
