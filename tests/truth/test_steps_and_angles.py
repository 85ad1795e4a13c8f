"""Step identities and angles against published tables."""

import math

import numpy as np
import pytest

from analysis.body.angle import AngleReader, angle_deg
from analysis.ground.carried import estimate
from analysis.steps.table import step_times
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Direction, Footfall, Side

# Karamanidis K, Arampatzis A (2005), J Exp Biol 208:3907-3923, table 4: contact ms, flight ms, step length
# cm, stride frequency Hz, duty factor %
RUNNERS = [
    (276, 80, 93.9, 1.41, 38.9, 2.648),
    (284, 83, 99.1, 1.38, 38.8, 2.735),
    (271, 112, 99.5, 1.31, 35.5, 2.607),
    (282, 104, 103.6, 1.28, 36.7, 2.652),
]


def steps_of(contact_ms, flight_ms, count=4):
    """Footfalls of even steps on a film of 1000 frames a second, tagged on whole milliseconds."""
    falls, at = [], 100
    for n in range(count):
        side = Side.LEFT if n % 2 == 0 else Side.RIGHT
        falls.append(Footfall(str(n), side, FrameNumber(at), FrameNumber(at + contact_ms), 0))
        at += contact_ms + flight_ms
    return step_times(falls, FrameTimes.from_seconds([n / 1000 for n in range(at + 500)]))[0]


@pytest.mark.parametrize(("contact", "flight", "length_cm", "stride_hz", "duty", "speed"), RUNNERS)
def test_published_running_obeys_the_step_table(contact, flight, length_cm, stride_hz, duty, speed):
    step = steps_of(contact, flight)[1]
    frequency = step.frequency.value
    assert estimate(step.contact).value + estimate(step.flight).value == pytest.approx(
        estimate(step.step_time).value
    )
    assert frequency / 2 == pytest.approx(stride_hz, rel=0.02)
    assert 50 / (1 + step.flight_to_contact.value) == pytest.approx(duty, rel=0.02)
    assert 100 * step.duty_factor.value == pytest.approx(duty, rel=0.02)
    assert length_cm / 100 * frequency == pytest.approx(speed, rel=0.02)


def test_published_top_speed_step_frequency():
    # Coh M et al. (2018), Kinesiology 50:172-180: contact 86 ms, flight 145 ms, printed 4.36 steps a second
    assert steps_of(86, 145)[0].frequency.value == pytest.approx(4.36, rel=0.01)


@pytest.mark.parametrize(
    ("lower", "upper", "angle"),
    [((0, 0), (1, 1), 45.0), ((0, 0), (-1, -1), -135.0), ((0, 0), (0, 1), 90.0), ((0, 0), (-1, 1), 135.0)],
)
def test_elementary_angles(lower, upper, angle):
    assert angle_deg(np.array(lower, float), np.array(upper, float)) == pytest.approx(angle)


def test_angle_at_a_joint():
    # BMClab/BMC, KinematicsAngular2D.ipynb: (0,0)-(1,1) against (1.1,1)-(2.1,0) is 90 degrees
    one = angle_deg(np.array([0.0, 0.0]), np.array([1.0, 1.0]))
    two = angle_deg(np.array([1.1, 1.0]), np.array([2.1, 0.0]))
    assert one - two == pytest.approx(90.0)


# Winter DA (2009), table A.1, unfiltered, angles worked out from the coordinates: frame, thigh, shank, knee,
# trunk, deg; the knee is the thigh's angle less the shank's
WINTER = [
    (1, 82.80, 35.67, 47.13, 85.48),
    (15, 115.43, 69.85, 45.58, 91.76),
    (28, 110.52, 109.55, 0.97, 96.61),
    (40, 100.98, 85.82, 15.17, 94.66),
    (50, 86.54, 78.73, 7.80, 85.32),
    (60, 73.85, 65.10, 8.75, 78.83),
    (70, 82.83, 34.70, 48.12, 85.42),
]


@pytest.mark.parametrize(("frame", "thigh", "shank", "knee", "trunk"), WINTER)
def test_winter_s_convention_survives_the_picture(frame, thigh, shank, knee, trunk):
    """Segments drawn at the published angles, v downwards and either way across the picture, read as
    published."""
    for direction, sign in ((Direction.RIGHT, 1.0), (Direction.LEFT, -1.0)):
        reader = AngleReader(NoValue("no marks"), direction)
        read = {}
        for name, angle in (("thigh", thigh), ("shank", shank), ("trunk", trunk)):
            du, dv = sign * 200 * math.cos(math.radians(angle)), -200 * math.sin(math.radians(angle))
            read[name] = reader.read((600.0, 400.0), (600.0 + du, 400.0 + dv), 1.5, 1.5)
        assert estimate(read["thigh"]).value == pytest.approx(thigh, abs=0.01)
        assert estimate(read["trunk"]).value == pytest.approx(trunk, abs=0.01)
        assert estimate(read["thigh"] - read["shank"]).value == pytest.approx(knee, abs=0.015)
        # the camera's roll is the same for both: it drops out of the joint's angle
        ends = math.degrees(1.5 * math.sqrt(2) / 200)
        assert estimate(read["thigh"] - read["shank"]).u == pytest.approx(ends * math.sqrt(2), rel=1e-6)
        assert estimate(read["thigh"]).u == pytest.approx(math.hypot(2.0, ends), rel=1e-6)


def test_winter_s_stride():
    """Ankle 140.22 cm in 0.987 s: 1.4207 m/s; 121.6 steps a minute."""
    falls = [
        Footfall("a", Side.RIGHT, FrameNumber(100), FrameNumber(400), 0),
        Footfall("b", Side.LEFT, FrameNumber(700), FrameNumber(1000), 0),
        Footfall("c", Side.RIGHT, FrameNumber(1087), FrameNumber(1400), 0),
    ]
    steps, _ = step_times(falls, FrameTimes.from_seconds([n / 1000 for n in range(1600)]))
    stride = steps[0].step_time + steps[1].step_time
    assert 1.4022 / estimate(stride).value == pytest.approx(1.4207, abs=0.0005)
    assert 120 / estimate(stride).value == pytest.approx(121.6, abs=0.05)
