"""Angles at events: moved to the event's estimate where neighbouring frames tell how fast they change."""

import math

import numpy as np
import pytest

from analysis.body.angle import AngleReader
from analysis.body.segment import SHIN_DOWN, TRUNK, SegmentReader
from analysis.ground.carried import estimate
from analysis.ground.points import by_name
from analysis.steps.events import read_event
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import BodyPoint, Direction, Line, LineKind, Side

RATE_DEG_S = -420.0
AT_EVENT = 74.0


def film(rate):
    return FrameTimes.from_seconds([n / rate for n in range(60)])


def shin(frame, rate, times, length=60.0, side=Side.LEFT):
    """The shin as it is at a frame, 74 deg at the event half a frame before frame 20."""
    angle = math.radians(AT_EVENT + RATE_DEG_S * (times.at(frame) - times.at(20) + 0.5 / rate))
    lower = (400.0, 300.0)
    upper = (400.0 + length * math.cos(angle), 300.0 - length * math.sin(angle))
    return Line(f"l{frame}", FrameNumber(frame), LineKind.SHIN, side, lower, upper)


def read(rate, frames, segment=SHIN_DOWN, side=Side.LEFT, of_foot=(), length=60.0):
    times = film(rate)
    reader = SegmentReader(
        [shin(f, rate, times, length) for f in frames], {}, AngleReader(NoValue("no marks"), Direction.RIGHT)
    )
    event = read_event(times, 20, 0)
    return reader.at_event(segment, side, 20, event.time, times.seconds, of_foot)[:2]


@pytest.mark.parametrize("rate", [30, 60, 240])
@pytest.mark.parametrize("frames", [(19, 20, 21), (19, 20), (20, 21), tuple(range(10, 30))])
def test_the_angle_is_the_event_s_own(rate, frames):
    number, partial = read(rate, frames, length=2000.0)  # long: the frames tell the rate, not what is usual
    assert not partial
    assert estimate(number).value == pytest.approx(AT_EVENT, abs=0.35)


@pytest.mark.parametrize("rate", [30, 240])
def test_without_a_neighbour_it_is_partial_and_its_interval_holds_the_event_s(rate):
    number, partial = read(rate, (20,))
    shown = estimate(number)
    assert partial
    assert shown.value == pytest.approx(AT_EVENT + RATE_DEG_S * 0.5 / rate, abs=0.01)
    assert shown.low <= AT_EVENT <= shown.high


@pytest.mark.parametrize(
    ("rate", "frame"), [(30, 17), (30, 23), (240, 14), (240, 18), (240, 19), (240, 21), (240, 26)]
)
def test_a_line_beside_the_event_counts_with_its_turning_since(rate, frame):
    number, partial = read(rate, (frame,))
    shown = estimate(number)
    away = abs(film(rate).at(frame) - film(rate).at(20) + 0.5 / rate)
    assert partial
    assert shown.low <= AT_EVENT <= shown.high
    turned, kinked = SHIN_DOWN.rate_u * away, SHIN_DOWN.kink_u * away / 2
    assert turned < shown.u < math.hypot(SHIN_DOWN.rate_u * (away + 0.3 / rate), kinked, 4.0)


@pytest.mark.parametrize(("rate", "frame"), [(30, 16), (30, 24), (240, 13), (240, 27)])
def test_a_line_out_of_reach_does_not(rate, frame):
    number, partial = read(rate, (frame,))
    assert isinstance(number, NoValue)
    assert not partial


def test_a_line_nearer_to_another_event_of_the_foot_is_not_taken():
    assert isinstance(read(30, (18,), of_foot=(17, 20))[0], NoValue)
    assert estimate(read(30, (19,), of_foot=(17, 20))[0]).value > 0


def test_the_nearest_line_is_taken_and_its_neighbours_tell_the_rate():
    """Moved by the slope between them: the event's own angle, though no line stands on its frame."""
    number, partial = read(240, (17, 18, 22))
    assert not partial
    assert estimate(number).value == pytest.approx(AT_EVENT, abs=0.35)


def test_an_angle_that_changes_fast_is_less_certain_at_an_uncertain_event():
    """|rate| u(event) is carried: at 30 frames a second 420 deg/s x 9.6 ms = 4.0 deg."""
    fast = estimate(read(30, (19, 20, 21))[0]).u
    own = math.hypot(2.0, math.degrees(1.5 * math.sqrt(2) / 60), SHIN_DOWN.anatomy_deg)
    kink = SHIN_DOWN.kink_u / 60 / 2  # half a frame away, half of it
    assert fast == pytest.approx(math.hypot(own, 420 / 30 / math.sqrt(12), kink), rel=0.1)


def test_nothing_drawn_says_what_to_do():
    number, _ = read(240, ())
    assert isinstance(number, NoValue)
    assert "shin" in number.reason
    assert "20" in number.reason


def test_trunk_from_points_is_from_mid_hip_to_mid_shoulder():
    points = [
        BodyPoint(FrameNumber(20), name, u, v)
        for name, u, v in (
            ("left_hip", 90.0, 300.0),
            ("right_hip", 110.0, 300.0),
            ("left_shoulder", 190.0, 200.0),
            ("right_shoulder", 210.0, 200.0),
        )
    ]
    for kept, angle in ((points, 45.0), (points[:3], math.degrees(math.atan2(100, 90)))):
        reader = SegmentReader([], by_name(kept), AngleReader(NoValue("no marks"), Direction.RIGHT))
        assert reader.on_frame(TRUNK, None, 20).value == pytest.approx(angle)


def test_a_line_comes_before_points():
    times = film(240)
    points = [
        BodyPoint(FrameNumber(20), "left_ankle", 400.0, 300.0),
        BodyPoint(FrameNumber(20), "left_knee", 500.0, 300.0),
    ]
    reader = SegmentReader(
        [shin(20, 240, times)], by_name(points), AngleReader(NoValue("no marks"), Direction.RIGHT)
    )
    assert reader.on_frame(SHIN_DOWN, Side.LEFT, 20).value > 60


def test_a_line_too_short_for_an_angle_says_so():
    found = AngleReader(NoValue("no marks"), Direction.RIGHT).read((10.0, 10.0), (10.5, 10.0), 1.5, 1.5)
    assert isinstance(found, NoValue)
    assert "longer" in found.reason


def test_stated_error_of_a_line_holds_under_noise():
    rng = np.random.default_rng(2)
    held = []
    for _ in range(2000):
        reader = AngleReader(NoValue("no marks"), Direction.RIGHT)
        roll = math.radians(rng.normal(0, 2.0))
        ends = np.array([[0.0, 0.0], [30 * math.cos(1.0 + roll), -30 * math.sin(1.0 + roll)]])
        ends += rng.normal(0, 1.5, (2, 2))
        shown = estimate(reader.read(tuple(ends[0]), tuple(ends[1]), 1.5, 1.5))
        held.append(shown.low <= math.degrees(1.0) <= shown.high)
    assert 0.93 <= np.mean(held) <= 0.97
