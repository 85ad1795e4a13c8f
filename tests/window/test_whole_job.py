"""The whole job on a sample clip with keys and mouse: film, events, marks, points, lines, reading, reopened.

What is clicked is the clip's own sheet; what the reading has to say is the renderer's truth, which knows
nothing of the program under test.
"""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest

from analysis.values.estimate import Estimate, NoValue
from analysis.values.run import Side
from tests.window.coach import Coach

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
SHEET = json.loads((SAMPLES / "wing_day1.json").read_text(encoding="utf-8"))
TRUTH = json.loads((SAMPLES / "wing_day1.truth.json").read_text(encoding="utf-8"))
POINTS = np.load(SAMPLES / "wing_day1.truth.npz")
FRAME_S = 1 / 240


def point(frame: int, name: str) -> tuple[float, float]:
    """Where the truth has a point on a frame."""
    u, v = POINTS["pixels"][frame][list(POINTS["names"]).index(name)]
    return float(u), float(v)


def line(frame: int, kind: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the truth has a line on a frame."""
    found = next(n for n in SHEET["lines"] if n["frame"] == frame and n["kind"] == kind)
    return tuple(found["from"]), tuple(found["to"])


def mark_everything(coach: Coach) -> None:
    """Every act of the job, in the order in which a coach would do it."""
    start, footfalls = SHEET["start"], SHEET["footfalls"]
    # events, in order of the film
    coach.go_to(start["first_movement"])
    coach.press("Q")
    coach.go_to(start["rear_toe_off"])
    coach.press("W")
    coach.go_to(start["front_toe_off"])
    coach.press("E")
    for footfall in footfalls:
        coach.go_to(footfall["touchdown"])
        coach.press("D")
        if footfall["toe_off"] is not None:
            coach.go_to(footfall["toe_off"])
            coach.press("F")
    # marks of known distance
    coach.press("M")
    for mark in SHEET["marks"]:
        coach.mark(mark["u"], mark["v"], mark["x_m"], mark["y_m"])
    # shoe tips: the walk goes from touchdown to touchdown by itself
    coach.press("X")
    for footfall in footfalls:
        coach.wait_for(footfall["touchdown"])
        coach.click(*point(footfall["touchdown"], f"{footfall['side']}_toe"))
    # hips: the walk goes through every event
    frames = sorted(
        {start[k] for k in ("first_movement", "rear_toe_off", "front_toe_off")}
        | {f["touchdown"] for f in footfalls}
        | {f["toe_off"] for f in footfalls if f["toe_off"] is not None}
    )
    coach.press("C")
    for frame in frames:
        coach.wait_for(frame)
        coach.click(*point(frame, "right_hip"))
    # lines at the first touchdown
    first = footfalls[0]["touchdown"]
    coach.press("Escape")
    coach.go_to(first)
    coach.press("V")
    coach.drag(*line(first, "trunk"))
    coach.press("B")
    coach.drag(*line(first, "shin"))
    coach.press("Escape")


@pytest.fixture
def film(tmp_path: Path) -> Path:
    """The sample clip in a folder of its own, as it would come from a phone."""
    return Path(shutil.copy(SAMPLES / "wing_day1.mp4", tmp_path / "wing.mp4"))


def test_the_whole_job_agrees_with_the_truth(coach, window, open_window, film, qtbot):
    assert window.open_path(film)
    coach.wait_for_picture()
    mark_everything(coach)

    run, reading = coach.bench.run, coach.bench.reading
    assert [f.side for f in run.footfalls] == [Side(f["side"]) for f in SHEET["footfalls"]]
    assert [f.touchdown for f in run.footfalls] == [f["touchdown"] for f in SHEET["footfalls"]]
    assert [f.toe_off for f in run.footfalls] == [f["toe_off"] for f in SHEET["footfalls"]]
    assert len(run.marks) == len(SHEET["marks"])

    # contact and flight within one frame of the truth, and within their own interval
    for step, true in zip(reading.steps, TRUTH["steps"], strict=False):
        for name in ("contact_s", "flight_s"):
            result = getattr(step, name)
            if true.get(name) is None:  # the film ends in the last contact
                assert step.step == len(TRUTH["steps"])
                assert isinstance(result, NoValue)
                continue
            assert isinstance(result, Estimate), (step.step, name, result)
            assert result.value == pytest.approx(true[name], abs=FRAME_S)
            assert result.low <= true[name] <= result.high
        if isinstance(step.step_length_m, Estimate):
            assert step.step_length_m.low <= true["step_length_m"] <= step.step_length_m.high
            assert step.step_velocity_m_s.low <= true["step_velocity_hip_m_s"] <= step.step_velocity_m_s.high

    # speed at 10 m within 0.1 m/s, both ways
    ten = next(s for s in reading.speeds if s.x_m == 10.0)
    true_ten = next(m for m in TRUTH["marks"] if m["x_m"] == 10.0)["hip"]
    for result in (ten.local_m_s, ten.model_m_s):
        assert isinstance(result, Estimate)
        assert result.value == pytest.approx(true_ten["step_averaged_m_s"], abs=0.1)
        assert result.low <= true_ten["step_averaged_m_s"] <= result.high
    split = next(s for s in reading.splits if s.x_m == 10.0)
    assert split.time_s.low <= true_ten["split_s"] <= split.time_s.high

    # angles within two degrees
    first = TRUTH["steps"][0]
    assert reading.steps[0].shin_touchdown_deg.value == pytest.approx(first["shin_touchdown_deg"], abs=2)
    assert reading.steps[0].trunk_touchdown_deg.value == pytest.approx(first["trunk_touchdown_deg"], abs=2)

    # closed and opened again: everything is there
    project = coach.bench.path
    assert project == film.with_suffix(".cinderlane")
    coach.press("Ctrl+Q")
    assert not window.isVisible()
    again = Coach(qtbot, open_window())
    assert again.window.open_path(project)
    again.wait_for_picture()
    assert again.bench.run == run
    assert again.bench.reading == reading


def test_every_edit_of_the_job_can_be_undone_and_done_again(coach, window, film):
    assert window.open_path(film)
    coach.wait_for_picture()
    before = coach.bench.project
    mark_everything(coach)
    after = coach.bench.project
    count = coach.bench.stack.count()
    assert count > 60
    coach.press("Ctrl+Z", count)
    assert coach.bench.project == before
    coach.press("Ctrl+Shift+Z", count)
    assert coach.bench.project == after
