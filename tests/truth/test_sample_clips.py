"""The sample clips' sheets read against the truth that the renderer wrote beside them.

The renderer shares no code with the reading. Limits: contact and flight within one frame, 10 m speed within
0.1 m/s, angles within 2 degrees; and every number within its own stated interval, also where marks and points
are placed with an error.
"""

import copy

import numpy as np
import pytest

from analysis.reading import read
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample

CLIPS = ("wing_day1", "wing_day2")
FRAME_S = 1 / 240
STEP_TRUTH = {
    "contact_s": "contact_s",
    "flight_s": "flight_s",
    "step_time_s": "step_time_s",
    "step_frequency_hz": "step_frequency_hz",
    "step_length_m": "step_length_m",
    "step_velocity_m_s": "step_velocity_hip_m_s",
    "foot_to_foot_speed_m_s": "foot_to_foot_speed_m_s",
    "shin_touchdown_deg": "shin_touchdown_deg",
    "shin_toe_off_deg": "shin_toe_off_deg",
    "trunk_touchdown_deg": "trunk_touchdown_deg",
}


@pytest.fixture(scope="module", params=CLIPS)
def clip(request):
    sheet, truth = sample(request.param)
    return sheet, truth, read(evidence_of(sheet))


def rows(reading, truth, name):
    """Every step's estimate of a measure beside its truth."""
    found = [
        (getattr(step, name), of[STEP_TRUTH[name]])
        for step, of in zip(reading.steps, truth["steps"], strict=True)
        if of.get(STEP_TRUTH[name]) is not None
    ]
    assert len(found) >= 9
    return found


@pytest.mark.parametrize("name", ["contact_s", "flight_s"])
def test_contact_and_flight_within_one_frame(clip, name):
    for shown, truth in rows(clip[2], clip[1], name):
        assert abs(shown.value - truth) <= FRAME_S


@pytest.mark.parametrize("name", sorted(STEP_TRUTH))
def test_steps_within_their_own_intervals(clip, name):
    for shown, truth in rows(clip[2], clip[1], name):
        assert shown.low <= truth <= shown.high


def test_shoes_and_hips_within_two_centimetres_and_a_twentieth(clip):
    for shown, truth in rows(clip[2], clip[1], "step_length_m"):
        assert abs(shown.value - truth) < 0.02
    for shown, truth in rows(clip[2], clip[1], "step_velocity_m_s"):
        assert abs(shown.value - truth) < 0.05


def test_trunk_and_toe_off_shin_within_two_degrees(clip):
    """Without a second frame the shin's own turn before touchdown can't be read: that is in its interval."""
    for name in ("trunk_touchdown_deg", "shin_toe_off_deg"):
        for shown, truth in rows(clip[2], clip[1], name):
            assert abs(shown.value - truth) < 2.0


def test_start(clip):
    _, truth, reading = clip
    of = truth["start"]
    assert abs(reading.start.rear_foot_push_s.value - of["rear_foot_push_s"]) <= FRAME_S
    assert abs(reading.start.front_foot_push_s.value - of["front_foot_push_s"]) <= FRAME_S
    assert abs(reading.start.first_flight_s.value - of["first_flight_s"]) <= FRAME_S
    assert reading.start.first_step_length_m.value == pytest.approx(
        of["first_step_length_from_line_m"], abs=0.02
    )


def test_splits_within_ten_milliseconds(clip):
    _, truth, reading = clip
    for shown, of in zip(reading.splits, truth["marks"], strict=True):
        assert shown.x_m == of["x_m"]
        for number, name in (
            (shown.time_s, "split_s"),
            (shown.from_front_toe_off_s, "split_from_front_toe_off_s"),
        ):
            assert abs(number.value - of["hip"][name]) < 0.010
            assert number.low <= of["hip"][name] <= number.high


def test_speed_at_five_and_ten_metres(clip):
    _, truth, reading = clip
    for shown, of in zip(reading.speeds, truth["marks"], strict=True):
        for number in (shown.local_m_s, shown.model_m_s):
            assert abs(number.value - of["hip"]["step_averaged_m_s"]) < 0.1
            assert number.low <= of["hip"]["step_averaged_m_s"] <= number.high
    assert abs(reading.speeds[1].local_m_s.value - truth["marks"][1]["hip"]["step_averaged_m_s"]) < 0.05


def test_drawn_lines_on_their_own_frames(clip):
    """The lines were drawn through the truth's own joints: the angle on that frame, within two degrees."""
    sheet, _, reading = clip
    exact = np.load(_points(sheet))
    names = exact["names"].tolist()
    for line in reading.lines:
        ends = _joints(line, exact["metres"][line.frame], names)
        angle = np.degrees(np.arctan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0]))
        assert abs(line.angle_deg.value - angle) < 2.0
    assert len(reading.lines) > 10


def _points(sheet):
    return SAMPLES / sheet["film"]["path"].replace(".mp4", ".truth.npz")


def _joints(line, metres, names):
    if line.kind == "trunk":
        return [
            (metres[names.index(f"left_{n}")] + metres[names.index(f"right_{n}")]) / 2
            for n in ("hip", "shoulder")
        ]
    lower, upper = {"shin": ("ankle", "knee"), "thigh": ("knee", "hip")}[line.kind]
    return [metres[names.index(f"{line.side}_{n}")] for n in (lower, upper)]


@pytest.mark.parametrize("error_px", [0.5, 1.5])
def test_intervals_hold_the_truth_when_placing_is_noisy(error_px):
    """50 sheets, every mark, point and line end off by a random error: what is stated must cover what is
    missed."""
    held = {}
    for clip, name in enumerate(CLIPS):
        sheet, truth = sample(name)
        for seed in range(25 * clip, 25 * clip + 25):
            reading = read(evidence_of(shaken(sheet, error_px, seed)))
            for measure in STEP_TRUTH:
                for shown, of in rows(reading, truth, measure):
                    held.setdefault(measure, []).append(shown.low <= of <= shown.high)
            for shown, split, of in zip(reading.speeds, reading.splits, truth["marks"], strict=True):
                hip = of["hip"]
                for key, number, value in (
                    ("local", shown.local_m_s, hip["step_averaged_m_s"]),
                    ("model", shown.model_m_s, hip["step_averaged_m_s"]),
                    ("split", split.from_front_toe_off_s, hip["split_from_front_toe_off_s"]),
                ):
                    held.setdefault(key, []).append(number.low <= value <= number.high)
                if of["x_m"] == 10.0 and error_px < 1:
                    assert abs(shown.local_m_s.value - hip["step_averaged_m_s"]) < 0.1
                    assert abs(shown.model_m_s.value - hip["step_averaged_m_s"]) < 0.1
    for measure, hits in held.items():  # 95 %, less three standard errors of so few sheets
        assert np.mean(hits) >= 0.95 - 3 * np.sqrt(0.95 * 0.05 / len(hits)), (measure, np.mean(hits))


def shaken(sheet, error_px, seed):
    rng = np.random.default_rng(seed)
    shaken = copy.deepcopy(sheet)
    for item in (*shaken["marks"], *shaken["points"]):
        item["u"] += rng.normal(0, error_px)
        item["v"] += rng.normal(0, error_px)
    for line in shaken["lines"]:
        for end in ("from", "to"):
            line[end] = [p + rng.normal(0, error_px) for p in line[end]]
    return shaken
