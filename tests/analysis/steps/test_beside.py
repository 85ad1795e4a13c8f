"""Clicks beside an event that was retagged: what still counts, what it costs, and what belongs to another
contact.
"""

import math
from dataclasses import replace

import pytest

from analysis.ground.carried import estimate
from analysis.ground.ground import read_ground
from analysis.ground.place import place_hips
from analysis.ground.point_rows import PointRows, rows_of
from analysis.ground.points import by_name
from analysis.steps.events import read_event
from analysis.steps.hips import RATE_U, hip_at
from analysis.steps.shoes import SWING_M_S, set_shoe, shoe_places
from analysis.steps.table import start_times, step_times
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import BodyPoint, Footfall, GroundMark, Run, Side, StartPush

PX_PER_M = 100.0
MARKS = tuple(
    GroundMark(f"{x}{y}", x, y, FrameNumber(0), 100 + PX_PER_M * x, 650 - PX_PER_M * y)
    for x in (0.0, 10.0)
    for y in (0.0, 2.0)
)
RUN = Run("r", "r", "r", FrameNumber(0), FrameNumber(399), camera_distance_m=1000.0, marks=MARKS)
GROUND = read_ground(RUN, 1280, 720)


def film(rate):
    return FrameTimes.from_seconds([n / rate for n in range(400)])


def tip(frame, x_m, side="left"):
    return BodyPoint(FrameNumber(frame), f"{side}_toe", 100 + PX_PER_M * x_m, 650.0)


def falls(*spans):
    """Left and right by turns."""
    return [
        Footfall(
            str(n), (Side.LEFT, Side.RIGHT)[n % 2], *[None if f is None else FrameNumber(f) for f in span]
        )
        for n, span in enumerate(spans)
    ]


def shoes(rate, footfalls, tips, start=StartPush()):  # noqa: B008
    steps, _ = step_times(footfalls, film(rate))
    return shoe_places(GROUND, steps, rows_of(by_name(tips), 400), film(rate), start)


@pytest.mark.parametrize(
    ("rate", "frame", "frames_outside"),
    [(240, 99, 0.5), (240, 94, 5.5), (240, 140, 0.5), (240, 146, 6.5), (30, 97, 2.5), (30, 143, 3.5)],
)
def test_a_tip_beside_its_contact_counts_and_may_have_moved(rate, frame, frames_outside):
    inside, beside = (estimate(shoes(rate, falls((100, 140)), [tip(at, 3.0)])[0]) for at in (120, frame))
    assert beside.value == pytest.approx(inside.value)
    moved = SWING_M_S * frames_outside / rate / math.sqrt(3)
    assert beside.u == pytest.approx(math.hypot(inside.u, moved), rel=1e-6)


@pytest.mark.parametrize(("rate", "frame"), [(240, 93), (240, 147), (30, 96), (30, 144)])
def test_a_tip_out_of_reach_does_not(rate, frame):
    place = shoes(rate, falls((100, 140)), [tip(frame, 3.0)])[0]
    assert isinstance(place, NoValue)
    assert "step 1" in place.reason


def test_a_tip_in_the_contact_comes_first_then_the_nearest():
    own = [tip(98, 2.0), tip(101, 3.0), tip(142, 4.0)]
    assert estimate(shoes(240, falls((100, 140)), own)[0]).value == pytest.approx(3.0, abs=0.01)
    assert estimate(shoes(240, falls((100, 140)), [own[0], tip(141, 5.0)])[0]).value == pytest.approx(
        5.0, abs=0.01
    )


def test_a_tip_of_another_contact_of_the_foot_is_never_taken():
    """At 30 frames a second the reach spans half of the swing."""
    close = falls((100, 104), (105, 108), (107, 110))
    third = shoes(30, close, [tip(103, 3.0)])[2]
    assert isinstance(third, NoValue)
    assert "step 3" in third.reason
    assert isinstance(shoes(30, close, [tip(105, 3.0)])[2], NoValue)  # nearer to the first
    first, _, third = shoes(30, close, [tip(106, 5.0)])
    assert isinstance(first, NoValue)
    assert estimate(third).value == pytest.approx(5.0, abs=0.01)


def test_a_tip_of_the_start_push_is_no_step_s():
    start = StartPush(None, FrameNumber(98), FrameNumber(100), Side.RIGHT)
    alone = [tip(97, 0.3)]
    assert isinstance(shoes(240, falls((100, 140)), alone, start)[0], NoValue)
    assert not isinstance(shoes(240, falls((100, 140)), alone)[0], NoValue)


def test_the_front_shoe_at_the_set_position_after_its_toe_off_was_set_earlier():
    times = film(240)
    steps, _ = step_times(falls((130, 160)), times)
    start = StartPush(FrameNumber(20), FrameNumber(60), FrameNumber(100), Side.RIGHT)
    push, _ = start_times(start, steps, times)

    def place(frame):
        points = rows_of(by_name([tip(frame, 0.4, "right")]), 400)
        return set_shoe(GROUND, start, push.front_toe_off, steps, points, times)

    before, after = estimate(place(50)), estimate(place(101))
    assert after.value == pytest.approx(before.value)
    assert after.u == pytest.approx(math.hypot(before.u, SWING_M_S * 1.5 / 240 / math.sqrt(3)), rel=1e-6)
    assert isinstance(place(107), NoValue)


def hip(frame, x_m):
    return BodyPoint(FrameNumber(frame), "right_hip", 100 + PX_PER_M * x_m, 550.0)


@pytest.mark.parametrize(("rate", "away"), [(240, -6), (240, -1), (240, 1), (240, 6), (30, -3), (30, 3)])
def test_the_hip_goes_on_to_the_event_at_its_rate(rate, away):
    """5 m/s, hips half a second apart."""
    times = film(rate)
    event = read_event(times, 200, 0)
    half = rate // 2
    frames = [200 + away - half, 200 + away, 200 + away + half]
    hips = PointRows.of([hip(f, 5.0 * (times.at(f) - event.seconds) + 4.0) for f in frames])
    track = place_hips(GROUND, {"right_hip": hips}, times.seconds)
    found = estimate(hip_at(track, event))
    on_frame = float(track.places.u()[1])
    assert found.value == pytest.approx(4.0, abs=0.01)
    outside = RATE_U * abs(away + 0.5) / rate
    event_u = 5.0 / rate / math.sqrt(12)
    assert found.u == pytest.approx(math.hypot(on_frame, outside, event_u), rel=0.02)


@pytest.mark.parametrize(("rate", "away"), [(240, -7), (240, 7), (30, 4)])
def test_a_hip_out_of_reach_says_where_to_place_it(rate, away):
    times = film(rate)
    frames = [200 + away - rate // 2, 200 + away, 200 + away + rate // 2]
    hips = PointRows.of([hip(f, 5.0 * times.at(f)) for f in frames])
    track = place_hips(GROUND, {"right_hip": hips}, times.seconds)
    found = hip_at(track, read_event(times, 200))
    assert isinstance(found, NoValue)
    assert "frame 200" in found.reason


def test_marks_make_a_ground_for_these_tests():
    assert not isinstance(GROUND, NoValue)
    assert isinstance(read_ground(replace(RUN, marks=()), 1280, 720), NoValue)
