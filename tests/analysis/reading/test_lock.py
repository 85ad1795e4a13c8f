"""Pairs of times by which two runs are laid side by side, held against the truth of the rendered clips."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from analysis.reading import read
from analysis.reading.lane import Lane, lane
from analysis.reading.lock import (
    FIRST_MOVEMENT,
    EventKind,
    Moment,
    by_place,
    moments,
    rising,
    shared,
)
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.reading import HipPlace
from tests.analysis.ground.films import bent
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample
from tests.analysis.reading.test_camera import LENS, moved, on_its_frame, turning

NAMES = ("wing_day1", "wing_day2")
FRAME_S = 1 / 240


@pytest.fixture(scope="module")
def clips():
    """Evidence, reading and truth of both sample clips."""
    found = []
    for name in NAMES:
        sheet, truth = sample(name)
        evidence = evidence_of(sheet)
        found.append((evidence, read(evidence), truth))
    return found


def test_every_event_is_paired_within_a_frame_of_the_truth(clips):
    (one, first, truth), (two, second, other) = clips
    pairs = shared(moments(one.run, first), one.film.times, moments(two.run, second), two.film.times)
    assert len(pairs) == 3 + 10 + min(len(truth["events"]["toe_off_s"]), len(other["events"]["toe_off_s"]))
    for moment, pair in pairs.items():
        for time_s, said in zip(pair, (truth, other), strict=True):
            event = said["events"][f"{moment.kind}_s"]
            true_s = event[moment.step - 1] if moment.step else event
            assert -1e-9 <= time_s - true_s < FRAME_S + 1e-6, moment
    assert next(iter(pairs)) == FIRST_MOVEMENT
    assert len(rising(pairs.values())) == len(pairs)


def test_an_event_that_one_run_lacks_is_no_pair(clips):
    (one, first, _), (two, second, _) = clips
    bare = replace(two.run, start=replace(two.run.start, first_movement=None))
    pairs = shared(moments(one.run, first), one.film.times, moments(bare, second), two.film.times)
    assert FIRST_MOVEMENT not in pairs
    assert Moment(EventKind.TOUCHDOWN, 1) in pairs


def test_steps_are_counted_as_the_table_counts_them(clips):
    evidence, reading, _ = clips[0]
    found = moments(evidence.run, reading)
    for step in reading.steps:
        assert found[Moment(EventKind.TOUCHDOWN, step.step)] == step.touchdown
    assert list(found.values()) == sorted(found.values())
    assert set(moments(evidence.run, None)) <= {Moment(kind) for kind in EventKind}


def test_pairs_that_go_back_are_left_out():
    pairs = ((0.0, 0.0), (1.0, 2.0), (1.5, 1.9), (2.0, 2.0), (3.0, 3.0))
    assert rising(pairs) == ((0.0, 0.0), (1.0, 2.0), (3.0, 3.0))


def test_an_event_beyond_its_film_is_no_pair():
    short = FrameTimes.from_seconds([0.0, 0.1, 0.2])
    events = {FIRST_MOVEMENT: 1, Moment(EventKind.TOUCHDOWN, 1): 7}
    assert list(shared(events, short, events, short)) == [FIRST_MOVEMENT]


def test_at_the_same_metre_the_true_hips_are_within_a_frame_of_each_other(clips):
    """From the first touchdown on; before it the hips were placed on a few frames only."""
    pairs = by_place(clips[0][1].path, clips[1][1].path)
    assert not isinstance(pairs, NoValue)
    checked = 0
    hips = [true_hips(name) for name in NAMES]
    for one_s, two_s in pairs:
        (times, x), (other_times, other_x) = hips
        here = np.interp(one_s, times, x)
        if one_s < clips[0][2]["events"]["touchdown_s"][0]:
            continue
        there_s = np.interp(here, np.maximum.accumulate(other_x), other_times)
        assert abs(there_s - two_s) < FRAME_S
        checked += 1
    assert checked > 200
    assert all(b[0] > a[0] and b[1] > a[1] for a, b in pairwise(pairs))


def true_hips(name):
    """Time and place of the middle of both hips, from the renderer."""
    with np.load(SAMPLES / f"{name}.truth.npz") as truth:
        names = list(truth["names"])
        both = [names.index(f"{side}_hip") for side in ("left", "right")]
        return truth["times_s"], truth["metres"][:, both, 0].mean(axis=1)


def test_without_hips_or_on_other_metres_there_is_no_place(clips):
    path = clips[0][1].path
    assert isinstance(by_place(path, ()), NoValue)
    assert isinstance(by_place(path[:1], path), NoValue)
    away = tuple(HipPlace(p.time_s, p.x_m + 40) for p in path)
    assert isinstance(by_place(path, away), NoValue)


def test_who_rests_or_goes_back_is_at_a_place_for_the_last_time():
    back = (HipPlace(0.0, 0.0), HipPlace(1.0, 1.0), HipPlace(2.0, 0.5), HipPlace(3.0, 2.0))
    plain = (HipPlace(10.0, 0.5), HipPlace(11.0, 2.0))
    pairs = by_place(back, plain)
    assert pairs[0] == pytest.approx((2.0, 10.0))
    assert pairs[-1] == pytest.approx((3.0, 11.0))


def test_a_metre_of_the_lane_is_where_its_mark_was_placed(clips):
    for evidence, _, _ in clips:
        found = lane(evidence, 0)
        assert isinstance(found, Lane)
        for mark in evidence.run.marks:
            if mark.y_m == 0:
                u, v = found.pixel(mark.x_m)
                assert np.hypot(u - mark.u, v - mark.v) < 4 * mark.error_px


def test_a_lens_bends_the_lane_and_a_turning_camera_shows_it_elsewhere(clips):
    """Clicks where a pinhole camera that turns, with the radial term of OpenCV's calib3d, shows the marks."""
    still = clips[0][0]
    path, lens = replace(turning(), lens=LENS), LENS
    seen = moved(still, lambda f, p: bent(lens, on_its_frame(path, f, p)[None])[0])
    seen = replace(seen, camera=path, lens=lens)
    plain = lane(still, 0)
    for frame in (0, 240, 500):
        found = lane(seen, frame)
        for x_m in (0.0, 4.0, 10.0):
            u, v = found.pixel(x_m)
            there = bent(lens, on_its_frame(path, frame, plain.pixel(x_m))[None])[0]
            assert np.hypot(u - there[0], v - there[1]) < 2.0
    ends = [lane(seen, frame).pixel(5.0)[0] for frame in (0, 500)]
    assert abs(ends[0] - ends[1]) > 100
    lost = replace(path, error_px=np.where(np.arange(720) == 500, np.inf, path.error_px))
    assert isinstance(lane(replace(seen, camera=lost), 500), NoValue)


def test_without_marks_there_is_no_lane(clips):
    evidence = clips[0][0]
    assert isinstance(lane(replace(evidence, run=replace(evidence.run, marks=())), 0), NoValue)
