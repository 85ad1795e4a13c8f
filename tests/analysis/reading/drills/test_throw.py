"""What a throw's repetition says, and what it lacks."""

import math

import numpy as np
import pytest

from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillKind
from analysis.values.estimate import NoValue
from analysis.values.run import BodyPoint, FrameNumber, Line, LineKind
from tests.helpers.drill_evidence import evidence_of, pixel, reading_of, rep

RATE, G = 240, 9.80665
SET, RELEASE, LANDING = 4, 30, 90
AT_RELEASE = (2.0, 1.9)
V = (7.2, 3.1)
ANGLE, SPEED, HEIGHT = (MeasureKey(n) for n in ("release_angle_deg", "release_speed_m_s", "release_height_m"))
EVENTS = ((DrillEvent.SET, SET), (DrillEvent.RELEASE, RELEASE), (DrillEvent.LANDING, LANDING))


def ball(count, first=RELEASE):
    """Places of a thrown ball that left the hand in the middle of the frame before its release."""
    times = {f: (f - RELEASE + 0.5) / RATE for f in range(first, first + count)}
    return {f: (AT_RELEASE[0] + V[0] * t, AT_RELEASE[1] + V[1] * t - G * t * t / 2) for f, t in times.items()}


def body():
    """The hips go 0.1 m from set to release and 0.3 m on to the landing; the trunk lies at 60 deg."""
    at = {SET: 1.0, RELEASE - 1: 1.1, RELEASE: 1.1, LANDING - 1: 1.4, LANDING: 1.4}
    hip = {f: (x, 0.6) for f, x in at.items()}
    tip = (0.5 * math.cos(math.radians(60)), 0.5 * math.sin(math.radians(60)))
    shoulder = {f: (x + tip[0], y + tip[1]) for f, (x, y) in hip.items()}
    return {"left_hip": hip, "right_hip": hip, "left_shoulder": shoulder, "right_shoulder": shoulder}


def read(points, **more):
    evidence = evidence_of(points, 120, RATE, **more)
    return reading_of(DrillKind.THROW, evidence, rep(1, 0, 119, *EVENTS)).reps[0]


def test_a_throw_that_is_known():
    one = read({"implement": ball(12), **body()})
    for key, truth, tolerance in (
        (ANGLE, math.degrees(math.atan2(V[1], V[0])), 0.1),
        (SPEED, math.hypot(*V), 0.02),
        (HEIGHT, AT_RELEASE[1], 0.005),
        (MeasureKey("trunk_at_release_deg"), 60.0, 0.1),
        (MeasureKey("hip_set_to_release_m"), 0.1, 0.005),
        (MeasureKey("hip_release_to_landing_m"), 0.3, 0.005),
    ):
        found = one.result(key)
        assert not isinstance(found, NoValue), found.reason
        assert found.value == pytest.approx(truth, abs=tolerance)
        assert found.low < truth < found.high
    assert one.frames[SPEED] == tuple(range(RELEASE, RELEASE + 12))


def test_the_intervals_hold_the_truth_about_as_often_as_they_say():
    # the truth is the one above; clicks and marks are off by 1.5 px at random
    noise, held = np.random.default_rng(5), []
    truth = {ANGLE: math.degrees(math.atan2(V[1], V[0])), SPEED: math.hypot(*V), HEIGHT: AT_RELEASE[1]}
    for _ in range(80):
        one = read({"implement": ball(16)}, error_px=1.5, noise=noise)
        found = {key: one.result(key) for key in truth}
        held += [found[key].low < value < found[key].high for key, value in truth.items()]
    assert len(held) == 240
    assert np.mean(held) > 0.92


def test_the_moment_of_release_is_known_to_a_frame_only_and_gravity_turns_the_flight_meanwhile():
    """At 30 frames a second with clicks that are exact: dθ = vx g dt / v², dt rectangular over a frame, u =
    1 / sqrt(12) of it (JCGM 100:2008, 4.3.7); the ball leaves in the middle of the frame.
    """
    rate, first = 30, 10
    times = {f: (f - first + 0.5) / rate for f in range(first, first + 12)}
    flown = {
        f: (AT_RELEASE[0] + V[0] * t, AT_RELEASE[1] + V[1] * t - G * t * t / 2) for f, t in times.items()
    }
    evidence = evidence_of({"implement": flown}, 40, rate, error_px=0.02)
    one = reading_of(DrillKind.THROW, evidence, rep(1, 0, 39, (DrillEvent.RELEASE, first))).reps[0]
    turned = math.degrees(V[0] * G / (V[0] ** 2 + V[1] ** 2)) / rate / math.sqrt(12)
    assert one.result(ANGLE).u == pytest.approx(turned, rel=0.05)
    assert one.result(ANGLE).value == pytest.approx(math.degrees(math.atan2(V[1], V[0])), abs=0.1)
    # and it rises meanwhile, dh = vy dt; what else is not known of the height comes on top
    assert one.result(HEIGHT).u > 0.95 * V[1] / rate / math.sqrt(12)


def test_fewer_than_four_places_ask_for_more():
    one = read({"implement": ball(3)})
    found = one.result(SPEED)
    assert isinstance(found, NoValue)
    assert "implement" in found.reason
    assert (RELEASE + 3, "implement") in one.wanted


def test_a_place_in_the_hand_is_no_flight():
    held = dict.fromkeys(range(RELEASE - 8, RELEASE), AT_RELEASE)
    assert read({"implement": {**held, **ball(12)}}).result(SPEED).value == pytest.approx(
        math.hypot(*V), abs=0.02
    )


def test_a_hand_that_had_not_let_go_is_seen():
    late = dict(ball(12))
    for n, frame in enumerate(range(RELEASE, RELEASE + 5)):
        late[frame] = (AT_RELEASE[0] - 0.4 + 0.02 * n, AT_RELEASE[1] - 0.3)
    assert any("beside a parabola" in note for note in read({"implement": late}).notes)


def test_without_marks_the_throw_has_no_speed_but_the_trunk_its_angle():
    from dataclasses import replace

    evidence = evidence_of({"implement": ball(12), **body()}, 120, RATE)
    evidence = replace(evidence, run=replace(evidence.run, marks=()), athlete=None)
    one = reading_of(DrillKind.THROW, evidence, rep(1, 0, 119, *EVENTS)).reps[0]
    assert isinstance(one.result(SPEED), NoValue)
    assert one.result(MeasureKey("trunk_at_release_deg")).value == pytest.approx(60.0, abs=0.5)


def test_a_trunk_line_drawn_at_the_release_serves():
    from dataclasses import replace

    evidence = evidence_of({"implement": ball(12)}, 120, RATE)
    ends = (
        pixel(1.0, 0.6),
        pixel(1.0 + 0.5 * math.cos(math.radians(70)), 0.6 + 0.5 * math.sin(math.radians(70))),
    )
    line = Line("l", FrameNumber(RELEASE), LineKind.TRUNK, None, *ends)
    evidence = replace(evidence, run=replace(evidence.run, lines=(line,)))
    one = reading_of(DrillKind.THROW, evidence, rep(1, 0, 119, *EVENTS)).reps[0]
    assert one.result(MeasureKey("trunk_at_release_deg")).value == pytest.approx(70.0, abs=0.1)


def test_events_that_are_not_tagged_are_asked_for():
    evidence = evidence_of({"implement": ball(12)}, 120, RATE)
    one = reading_of(DrillKind.THROW, evidence, rep(1, 0, 119)).reps[0]
    assert {number.reason for number in one.numbers.values()} == {
        "The release is not tagged. Tag it.",
        "The set position is not tagged. Tag it.",
    }


@pytest.mark.parametrize("u", [math.nan, math.inf, -1e9])
def test_a_point_off_the_picture_does_no_harm(u):
    from dataclasses import replace

    evidence = evidence_of({"implement": ball(12)}, 120, RATE)
    lost = BodyPoint(FrameNumber(RELEASE + 20), "implement", u, 100.0)
    evidence = replace(evidence, run=replace(evidence.run, points=(*evidence.run.points, lost)))
    one = reading_of(DrillKind.THROW, evidence, rep(1, 0, 119, *EVENTS)).reps[0]
    assert one.result(SPEED).value == pytest.approx(math.hypot(*V), abs=0.02)
