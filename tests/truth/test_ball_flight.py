"""Thrown balls and jumps against a filmed toss and a textbook's long jump."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from analysis.ground.carried import combine, normal
from analysis.reading.drills.parabola import free_flight
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillKind
from analysis.values.estimate import NoValue
from tests.helpers.drill_evidence import evidence_of, reading_of, rep

TOSS = Path(__file__).parent / "data" / "ball_toss" / "balltoss.csv"
CLICK_M = 0.002


@pytest.fixture(scope="module")
def toss():
    """Times and places of the filmed toss (data/ball_toss/README.md)."""
    with TOSS.open(encoding="utf-8") as file:
        rows = [[float(cell) for cell in row.values()] for row in csv.DictReader(file)]
    return np.array(rows).T


def flight(t, x, y):
    places = [[combine(value, {normal(CLICK_M): 1.0}) for value in axis] for axis in (x, y)]
    return free_flight(t, *places, np.full((len(t), 2), CLICK_M))


def value(number):
    return float(number.nominal_value)


def test_the_free_fit_of_the_filmed_toss_is_the_one_that_numpy_makes(toss):
    # numpy.polyfit of second degree in y and first in x: g 9.9781, vx 1.72326 (to the last digit given)
    found = flight(*toss)
    assert value(found.gravity) == pytest.approx(9.9781, abs=1e-4)
    assert value(found.vx) == pytest.approx(1.72326, abs=1e-5)


def test_with_g_fixed_the_toss_leaves_between_the_angles_of_two_other_ways(toss):
    # 57.339 deg by the parabola with g free, 56.539 deg from the first and the last picture and g alone
    found = flight(*toss)
    angle = math.degrees(math.atan2(value(found.vy), value(found.vx)))
    assert 56.539 < angle < 57.339
    assert math.hypot(value(found.vx), value(found.vy)) == pytest.approx(math.hypot(1.7295, 2.6168), rel=0.03)


def throw(t, x, y, scale=1.0, rate_hz=30):
    """The toss as a film: released a frame before its first picture, 1 m along and 1 m up."""
    ball = {n + 1: (2.0 + scale * x[n], 1.0 + scale * y[n]) for n in range(len(t))}
    evidence = evidence_of({"implement": ball}, len(t) + 2, rate_hz)
    reps = rep(1, 0, len(t) + 1, (DrillEvent.RELEASE, 1))
    return reading_of(DrillKind.THROW, evidence, reps).reps[0]


def test_the_toss_through_marks_and_clicks(toss):
    read = throw(*toss)
    angle, speed = (read.result(MeasureKey(n)) for n in ("release_angle_deg", "release_speed_m_s"))
    # the release is read half a frame before its picture: the ball was rising faster by g / 60
    expected = math.degrees(math.atan2(2.6168 + 9.80665 / 60, 1.7295))
    assert angle.value == pytest.approx(expected, abs=1.0)
    assert angle.low < expected < angle.high
    assert speed.value == pytest.approx(math.hypot(2.6168 + 9.80665 / 60, 1.7295), rel=0.02)
    assert read.notes == ()  # 1.7 % off is not said


def test_a_scale_that_is_wrong_by_seven_percent_is_said(toss):
    read = throw(*toss, scale=1.07)
    assert any("With g left free" in note and "% off" in note for note in read.notes)


JUMP_V = (8.10, 3.58)
"""Take-off of a long jump in a textbook's problem: 8.8559 m/s at 23.8442 deg."""


def test_the_textbooks_long_jump():
    g, rate = 9.80665, 240
    off, stood_m = 40, 0.5
    airborne = 2 * JUMP_V[1] / g
    land = off + round(airborne * rate)
    body = {  # a stiff figure: its centre of mass flies as each of its points does
        "left_shoulder": (0.1, 1.4), "right_shoulder": (0.1, 1.4), "left_hip": (0.0, 0.9),
        "right_hip": (0.0, 0.9), "left_knee": (0.1, 0.5), "right_knee": (0.1, 0.5),
        "left_ankle": (0.0, 0.1), "right_ankle": (0.0, 0.1), "left_heel": (-0.05, 0.03),
        "right_heel": (-0.05, 0.03), "left_toe": (0.2, 0.0), "right_toe": (0.2, 0.0),
    }  # fmt: skip

    def at(frame):
        t = min(max(0.0, (frame - off + 0.5) / rate), airborne)
        return stood_m + JUMP_V[0] * t, JUMP_V[1] * t - g * t * t / 2

    places = {
        name: {f: (x + at(f)[0], y + at(f)[1]) for f in range(off - 4, land + 3)}
        for name, (x, y) in body.items()
    }
    evidence = evidence_of(places, land + 10, rate)
    reps = rep(1, 0, land + 9, (DrillEvent.PUSH_OFF, off), (DrillEvent.LANDING, land))
    read = reading_of(DrillKind.JUMP, evidence, reps).reps[0]
    angle = read.result(MeasureKey("jump_projection_deg"))
    assert not isinstance(angle, NoValue), angle.reason
    assert angle.value == pytest.approx(23.8442, abs=0.3)
    assert angle.low < 23.8442 < angle.high
    # the same problem's range on level ground is 5.918 m with g = 9.8
    distance = read.result(MeasureKey("jump_distance_m"))
    assert distance.value == pytest.approx(5.918, abs=0.04)
    assert distance.low < 5.918 < distance.high
    assert read.result(MeasureKey("jump_flight_s")).value == pytest.approx(airborne, abs=0.5 / rate)
