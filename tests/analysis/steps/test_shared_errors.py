"""Errors that places share, each held against a camera that shows what its sensitivity must foretell."""

import math

import numpy as np
import pytest

from analysis.ground.carried import RECTANGULAR, estimate
from analysis.ground.ground import FOOT_OFFSET_M, read_ground
from analysis.ground.place import HipTrack, Places, place_hips
from analysis.ground.point_rows import PointRows, rows_of
from analysis.ground.points import by_name
from analysis.speed.curve import MODEL_U_M_S, fit_curve
from analysis.speed.model import position
from analysis.speed.pelvis import with_turning_pelvis
from analysis.speed.swing import StepClock
from analysis.steps.events import read_event
from analysis.steps.hips import hip_at
from analysis.steps.shoes import shoe_places
from analysis.steps.table import step_times
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import BodyPoint, Footfall, GroundMark, Run, Side, StartPush
from tests.analysis.ground.one_contact import place_shoes
from tests.analysis.ground.pinhole import Pinhole
from tests.helpers.carried import error_components

CAMERA = Pinhole(distance_m=10.0, x_m=6.0)
SIDES = [Side.RIGHT, Side.LEFT, Side.RIGHT]
AT = [1.0, 2.6, 4.4]


def run_of(camera=CAMERA, distance=10.0, poles=True):
    spots = [(0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (12.0, 0.0)] + ([(0.0, 2.0), (12.0, 2.0)] if poles else [])
    marks = tuple(
        GroundMark(f"m{n}", x, y, FrameNumber(0), *map(float, camera.pixels([(x, y)])[0]))
        for n, (x, y) in enumerate(spots)
    )
    return Run("r", "f", "run", FrameNumber(0), FrameNumber(99), camera_distance_m=distance, marks=marks)


def shoes(ground, beside=FOOT_OFFSET_M):
    """Three shoes, right, left, right, so far beside the line."""
    places = [(x, 0.0, beside if s is Side.RIGHT else -beside) for x, s in zip(AT, SIDES, strict=True)]
    points = [
        BodyPoint(FrameNumber(n), f"{s.value}_toe", *map(float, CAMERA.pixels([p])[0]))
        for n, (p, s) in enumerate(zip(places, SIDES, strict=True))
    ]
    return place_shoes(ground, PointRows.of(points), SIDES)


def test_feet_farther_aside_move_steps_as_the_foot_s_error_says_left_and_right_opposite():
    ground = read_ground(run_of(), 1280, 720)
    usual, wide = shoes(ground), shoes(ground, FOOT_OFFSET_M + 0.02)
    for first, second in ((0, 1), (1, 2), (0, 2)):
        length = usual.carried(second) - usual.carried(first)
        stated = length.derivatives[ground.shared.foot] * 0.02
        really = (usual.x[second] - usual.x[first]) - (wide.x[second] - wide.x[first])
        assert stated == pytest.approx(really, abs=2e-4)
    steps = [abs((usual.carried(n + 1) - usual.carried(n)).derivatives[ground.shared.foot]) for n in (0, 1)]
    stride = abs((usual.carried(2) - usual.carried(0)).derivatives[ground.shared.foot])
    assert min(steps) > 1.4 * stride  # in a step the two add up, in a stride they all but cancel


def test_a_camera_farther_away_moves_shoes_as_the_distance_s_error_says():
    ground, farther = (read_ground(run_of(distance=d), 1280, 720) for d in (10.0, 10.2))
    near, far = shoes(ground), shoes(farther)
    assert float(ground.shared.distance.std_dev) == pytest.approx(0.3)
    for n in range(3):
        stated = near.carried(n).derivatives[ground.shared.distance] * 0.2
        assert stated == pytest.approx(far.x[n] - near.x[n], rel=0.1)
        assert abs(stated) > 2e-4


def test_a_leaning_vertical_is_in_the_error_of_a_hip_and_not_of_a_shoe():
    """From marks on the ground alone the vertical is good to 1 degree: 1.75 cm a metre up."""
    ground = read_ground(run_of(poles=False), 1280, 720)
    low, high = (
        place_hips(
            ground,
            {
                f"{s}_hip": PointRows.of(
                    [BodyPoint(FrameNumber(0), f"{s}_hip", *map(float, CAMERA.pixels([(6.0, y)])[0]))]
                )
                for s in ("left", "right")
            },
            np.array([0.0]),
        )
        for y in (0.0, 1.0)
    )
    added = math.sqrt(float(high.places.u()[0]) ** 2 - float(low.places.u()[0]) ** 2)
    assert added >= math.radians(1.0) * 0.95


def contact_of(tips, error=1.5):
    """Place of a shoe of one contact, frames 20 to 60, from tips at (frame, metres)."""
    ground = read_ground(run_of(), 1280, 720)
    times = FrameTimes.from_seconds([n / 240 for n in range(200)])
    falls = [Footfall("a", Side.RIGHT, FrameNumber(20), FrameNumber(60))]
    steps, _ = step_times(falls, times)
    points = [
        BodyPoint(
            FrameNumber(f), "right_toe", *map(float, CAMERA.pixels([(x, 0.0, FOOT_OFFSET_M)])[0]), error
        )
        for f, x in tips
    ]
    return shoe_places(ground, steps, rows_of(by_name(points), 200), times, StartPush())[0], ground


def own_u(place, ground):
    """Of the clicks alone: without what places share and without where the contact's shoe stands aside."""
    shared = {*ground.shared.plane, ground.shared.foot, ground.shared.distance, ground.shared.lane}
    clicks = [u for s, u in error_components(place).items() if s not in shared and s.tag != RECTANGULAR]
    return math.sqrt(sum(u * u for u in clicks))


@pytest.mark.parametrize("clicks", [2, 3, 4, 5, 9])
def test_the_median_of_clicks_is_as_sure_as_medians_are(clicks):
    """Standard deviation of the median of n normal errors by simulation (100,000: to 1 %); beyond five clicks
    to the 5 % by which 1.25 / sqrt(n) is too wide at nine."""
    one, ground = contact_of([(40, 3.0)])
    many, ground_of_many = contact_of([(32 + 2 * n, 3.0) for n in range(clicks)])
    drawn = np.median(np.random.default_rng(1).normal(size=(100_000, clicks)), axis=1).std()
    ratio = own_u(many, ground_of_many) / own_u(one, ground)
    assert drawn * 0.99 <= ratio <= drawn * (1.01 if clicks <= 5 else 1.05)


def test_only_the_middle_half_of_a_contact_counts():
    """Tips in the first and last quarter, where the foot still slides and already rolls, are left out."""
    wild = [(20, 3.5), (25, 3.4), (29, 3.3), (51, 3.2), (55, 3.4), (59, 3.5), (22, 3.6)]
    place, _ = contact_of([(31, 3.0), (40, 3.0), (49, 3.0), *wild])
    assert float(place.nominal_value) == pytest.approx(3.0, abs=1e-3)


def track_of(t, x, single=False, own=0.003):
    places = Places(np.asarray(x), np.full(len(t), own), np.zeros((len(t), 0)), ())
    return HipTrack(np.round(np.asarray(t) * 240).astype(int), np.asarray(t), places, np.full(len(t), single))


def test_the_hip_stands_where_it_was_at_the_event_not_on_the_tagged_frame():
    times = FrameTimes.from_seconds([n / 240 for n in range(200)])
    t = np.array([20, 60, 100, 140]) / 240
    found = estimate(hip_at(track_of(t, 8.0 * t), read_event(times, 60, 0)))
    assert found.value == pytest.approx(8.0 * (60 / 240 - 0.5 / 240), abs=1e-7)  # film times are whole ns


def test_between_two_frames_both_clicks_count_in_equal_parts():
    times = FrameTimes.from_seconds([n / 240 for n in range(200)])
    t = np.arange(50, 70) / 240
    number = hip_at(track_of(t, 8.0 * t, own=0.01), read_event(times, 60, 0))
    clicks = sorted(u for u in error_components(number).values())[-3:-1]
    assert clicks == pytest.approx([0.005, 0.005], rel=0.01)


DOWNS = 0.9 + 0.235 * np.arange(12)
CLICKS = np.sort(np.concatenate([DOWNS, DOWNS + 0.13]))
CLOCK = StepClock(DOWNS.tolist())


def swung(t, swing):
    phase = 2 * np.pi * (t - DOWNS[0]) / 0.235
    return -0.3 + position(t - 0.4, 8.6, 1.15) + swing * np.sin(phase + 0.7)


def test_the_curve_takes_the_swing_for_a_swing():
    """2 cm of it put in come out as 2 cm, and leave next to nothing among the residuals."""
    dense = np.arange(0.9, 3.5, 1 / 240)
    found = fit_curve(track_of(dense, swung(dense, 0.02)), CLOCK, 0.4)
    assert math.hypot(*found.parameters[4:6]) == pytest.approx(0.02, rel=0.1)
    assert found.rms_sigmas < 0.3


def test_whole_steps_that_stray_together_widen_the_speed():
    """Every other step 2 cm off as a whole: the points' own errors don't know of it, the bootstrap does."""
    blocks = np.floor(CLOCK.phase(CLICKS) + 1e-6)
    strays = 0.02 * np.random.default_rng(3).choice([-1.0, 1.0], 14)[blocks.astype(int)]
    calm = fit_curve(track_of(CLICKS, swung(CLICKS, 0.0)), CLOCK, 0.4).speed_at(10.0)
    straying = fit_curve(track_of(CLICKS, swung(CLICKS, 0.0) + strays), CLOCK, 0.4).speed_at(10.0)
    of_fit = [math.sqrt(estimate(n).u ** 2 - MODEL_U_M_S**2) for n in (straying, calm)]
    assert of_fit[0] > 2 * of_fit[1]


def test_a_turning_pelvis_stays_in_a_step_and_leaves_a_stride():
    """Eight degrees either way: 1.25 cm forward and back, 0.11 m/s in a step of 0.235 s, nothing in two."""
    track = with_turning_pelvis(track_of(DOWNS, swung(DOWNS, 0.0), single=True, own=1e-6), CLOCK)
    at = [track.places.carried(n) for n in range(5)]
    step, stride = (at[3] - at[2]) / 0.235, (at[4] - at[2]) / 0.47
    largest = 2 * 0.09 * math.sin(math.radians(8)) / 0.235
    assert largest / 3 < float(step.std_dev) < largest
    assert float(stride.std_dev) < 1e-4
    both = with_turning_pelvis(track_of(DOWNS, swung(DOWNS, 0.0), own=1e-6), CLOCK)
    assert float(both.places.u()[3]) < 1e-5
