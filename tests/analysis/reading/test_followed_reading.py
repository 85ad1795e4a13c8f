"""A reading of followed points against the truth beside a rendered clip; the renderer shares no code."""

import threading
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate
from analysis.values.posture import Moment
from analysis.values.run import Side
from tests.analysis.reading.runs import evidence_of, followed_truth, sample


@pytest.fixture(scope="module", params=["wing_day1", "wing_day2"])
def followed(request):
    return followed_truth(request.param)


@pytest.fixture(scope="module")
def reading(followed):
    return read(followed[0])


def test_posture_at_the_events(followed, reading):
    """1.2 degrees, 1.5 cm, 0.005 of hip share: each side's depth and the pose between frames are left."""
    _, truth, _ = followed
    found = {(r.measure, r.step, r.moment): r for r in reading.posture}
    start = truth["start"]
    expected = {
        ("trunk_lead_deg", 0, Moment.PUSH): start["trunk_lead_deg"],
        ("hip_share", 0, Moment.PUSH): start["hip_share"],
        ("projection_deg", 0, Moment.FLIGHT): start["projection_deg"],
        ("spine_bend_deg", 0, Moment.SET): start["spine_bend_set_deg"],
        ("trunk_deg", 0, Moment.SET): start["trunk_set_deg"],
        ("trunk_deg", 0, Moment.TOE_OFF): start["trunk_front_toe_off_deg"],
        ("shin_deg", 0, Moment.TOE_OFF): start["shin_front_toe_off_deg"],
    }
    for number, step in enumerate(truth["steps"][:6], start=1):
        at = {
            ("touchdown_distance_m", Moment.TOUCHDOWN): step["touchdown_distance_m"],
            ("knee_gap_m", Moment.TOUCHDOWN): step["knee_gap_touchdown_m"],
            ("com_height_m", Moment.TOUCHDOWN): step["com_height_touchdown_m"],
            ("shin_deg", Moment.TOUCHDOWN): step["shin_touchdown_deg"],
            ("trunk_deg", Moment.TOUCHDOWN): step["trunk_touchdown_deg"],
            ("toe_off_distance_m", Moment.TOE_OFF): step["toe_off_distance_m"],
            ("shin_sweep_deg", Moment.TOE_OFF): step["shin_touchdown_deg"] - step["shin_toe_off_deg"],
        }
        expected |= {(measure, number, moment): value for (measure, moment), value in at.items()}
    for key, true in expected.items():
        shown = found[key].result
        assert isinstance(shown, Estimate), key
        limit = 0.015 if key[0].endswith("_m") else 0.005 if key[0] == "hip_share" else 1.2
        assert abs(shown.value - true) < limit, key
        assert shown.low <= true <= shown.high, key
        assert found[key].frames, key
        assert not found[key].partial, key


def test_step_table_and_posture_agree(reading):
    found = {(r.measure, r.step, r.moment): r.result for r in reading.posture}
    for step in reading.steps:
        assert step.touchdown_distance_m == found["touchdown_distance_m", step.step, Moment.TOUCHDOWN]
        assert step.shin_touchdown_deg == found["shin_deg", step.step, Moment.TOUCHDOWN]
        assert step.trunk_touchdown_deg == found["trunk_deg", step.step, Moment.TOUCHDOWN]


def test_angles_over_the_frames(followed, reading):
    _, _, held = followed
    at = {str(n): held["metres"][:, i] for i, n in enumerate(held["names"])}
    series = {(s.measure, s.side): s for s in reading.series}

    def turned(low, high):
        d = high - low
        return np.degrees(np.arctan2(d[:, 1], d[:, 0]))

    for side in Side:
        shin = series["shin_deg", side]
        true = turned(at[f"{side}_ankle"], at[f"{side}_knee"])[shin.frames]
        assert np.abs(shin.value - true).max() < 1.2
        assert (np.abs(shin.value - true) <= 1.96 * shin.u).mean() > 0.95
        thigh = turned(at[f"{side}_knee"], at[f"{side}_hip"])[shin.frames]
        bent = 180.0 - np.abs((thigh - true + 180.0) % 360.0 - 180.0)
        assert np.abs(series["knee_deg", side].value - bent).max() < 2.0
    middle = [(at[f"left_{j}"] + at[f"right_{j}"]) / 2 for j in ("hip", "shoulder")]
    trunk = series["trunk_deg", None]
    assert np.abs(trunk.value - turned(*middle)[trunk.frames]).max() < 1.0


def test_path_of_the_centre_of_mass(followed, reading):
    _, _, held = followed
    path = reading.mass_path
    assert path is not None
    assert not path.partial.any()
    off = path.metres - held["com_m"][path.frames, :2]
    assert np.abs(off).max() < 0.02
    assert (np.abs(off) <= 1.96 * path.u_m).mean() > 0.95
    among = held["pixels"][path.frames]
    assert (path.pixels >= among.min(axis=1)).all()
    assert (path.pixels <= among.max(axis=1)).all()


def test_speed_from_followed_hips(followed, reading):
    _, truth, _ = followed
    at_10 = next(s for s in reading.speeds if s.x_m == 10.0)
    true = next(m["hip"]["step_averaged_m_s"] for m in truth["marks"] if m["x_m"] == 10.0)
    assert abs(at_10.local_m_s.value - true) < 0.05
    assert abs(at_10.model_m_s.value - true) < 0.05


def test_the_clock_starts_with_the_hips_however_much_their_errors_go_together(followed):
    """When the true hips pass 20 mm forward of where they rest, by the renderer's metres, within 5 ms."""
    evidence, truth, held = followed
    names, first = [str(n) for n in held["names"]], truth["events"]["first_movement_s"]
    sides = [held["metres"][:, names.index(name), 0] for name in ("left_hip", "right_hip")]
    x = np.mean(sides, axis=0) * (1 if truth["direction"] == "right" else -1)
    rested = np.median(x[: int(first * 240)])
    left = float(np.flatnonzero(x <= rested + 0.020)[-1] + 1) / 240
    for memory in (6.0, 13.0, 30.0):
        tracks = replace(evidence.tracks, memory=np.full(len(names), memory))
        found = read(replace(evidence, tracks=tracks)).splits
        assert all(split.from_hips for split in found)
        zero = found[1].time_s.value - found[1].from_front_toe_off_s.value
        assert zero == pytest.approx(truth["events"]["front_toe_off_s"] - left, abs=0.005)


def test_a_reading_after_edits_is_the_one_that_fresh_eyes_would_give(followed):
    """Another thread knows nothing of what was read before."""
    evidence, _, _ = followed
    sheet_run = evidence_of(sample("wing_day1")[0]).run
    drawn = replace(evidence, run=replace(evidence.run, lines=sheet_run.lines, points=sheet_run.points))
    read(drawn)
    line = drawn.run.lines[0]
    lines = (replace(line, upper=(line.upper[0] + 3.0, line.upper[1])), *drawn.run.lines[1:])
    moved = replace(drawn, run=replace(drawn.run, lines=lines))
    here, fresh = read(moved), []
    other = threading.Thread(target=lambda: fresh.append(read(moved)))
    other.start()
    other.join()
    assert here == fresh[0]
    assert here != read(drawn)
    assert read(drawn) == read(replace(drawn, run=replace(drawn.run)))
