"""What a reading says of its own limits."""

import re
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read, reading_to_json
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from tests.analysis.reading.runs import SAMPLES, sample


def test_marks_that_end_far_short_of_the_mark_give_no_speed_there(evidence, reading):
    marks = tuple(m for m in evidence.run.marks if m.x_m <= 5.0 and m.y_m == 0.0)
    found = read(replace(evidence, run=replace(evidence.run, marks=marks)))
    assert "farther out" in found.speeds[1].local_m_s.reason
    assert isinstance(found.speeds[1].last_step_m_s, Estimate)
    assert any("stands instead" in note for note in found.notes)
    assert any("extrapolated" in note for note in found.notes)
    assert found.steps[8].step_length_m.u > 1.5 * reading.steps[8].step_length_m.u


def test_a_clean_run_has_no_doubts(reading):
    assert reading.doubts == ()
    assert reading.notes


def test_doubts_come_first_in_order_of_step_and_nothing_is_lost(evidence, reading):
    """Steps 2 and 3 overlap, step 6 is on the wrong foot, and a mark is off."""
    falls = list(evidence.run.footfalls)
    falls[1] = replace(falls[1], toe_off=FrameNumber(falls[2].touchdown + 3))
    falls[5] = replace(falls[5], side=falls[5].side.other)
    marks = tuple(replace(m, u=m.u + 25) if m.x_m == 2.5 else m for m in evidence.run.marks)
    found = read(replace(evidence, run=replace(evidence.run, footfalls=tuple(falls), marks=marks)))
    expected = ["Step 3 touches down before step 2", "Steps 5 and 6", "Steps 6 and 7", "The mark at 2.5 m"]
    at = [n for words in expected for n, doubt in enumerate(found.doubts) if words in doubt]
    assert len(at) == len(expected)
    assert at == sorted(at)
    assert all("The mark at" in doubt for doubt in found.doubts[at[3] :])
    assert found.notes[: len(found.doubts)] == found.doubts
    kinds = {note.split(":")[0] for note in reading.notes if "marked stretch" not in note}
    assert "Splits count from the tagged first movement." in kinds
    assert found.notes[-1] in reading.notes
    assert reading_to_json(found)["notes"] == list(found.notes)


def test_marks_that_contradict_each_other_are_a_doubt_and_one_mark_is_none(evidence):
    first = evidence.run.marks[0]
    twice = (first, replace(first, id="other", u=first.u + 200))
    found = read(replace(evidence, run=replace(evidence.run, marks=twice)))
    assert found.doubts == (found.steps[0].step_length_m.reason,)
    alone = read(replace(evidence, run=replace(evidence.run, marks=(first,))))
    assert alone.doubts == ()


def test_a_shin_s_wider_interval_in_the_table_is_explained(evidence):
    """One shin, on the first touchdown: as a line and in the table of steps."""
    down = evidence.run.footfalls[0].touchdown
    shin = tuple(n for n in evidence.run.lines if n.frame == down and n.kind == "shin")
    found = read(replace(evidence, run=replace(evidence.run, lines=shin)))
    assert found.steps[0].shin_touchdown_deg.u > found.lines[0].angle_deg.u
    said = [note for note in found.notes if note.startswith("Partial")]
    assert len(said) == 1
    assert "shin at touchdown in step 1." in said[0]
    assert "wider ± than the line itself" in said[0]


def test_one_hip_is_said_and_corrected(evidence, reading):
    """The near hip alone: uncorrected its places would be 4 cm out at the picture's edges."""
    points = tuple(p for p in evidence.run.points if p.name != "left_hip")
    found = read(replace(evidence, run=replace(evidence.run, points=points)))
    assert any("from one hip on 24 of 24 frames" in note for note in found.notes)
    for one, both in zip(found.splits, reading.splits, strict=True):
        assert one.time_s.value == pytest.approx(both.time_s.value, abs=0.010)
    assert found.speeds[1].local_m_s.value == pytest.approx(reading.speeds[1].local_m_s.value, abs=0.1)


def test_first_step_from_the_front_shoe_where_no_mark_stands_on_the_line(evidence, reading):
    _, truth = sample("wing_day1")
    marks = tuple(m for m in evidence.run.marks if m.x_m > 0.0)
    without = read(replace(evidence, run=replace(evidence.run, marks=marks, points=())))
    assert isinstance(without.start.first_step_length_m, NoValue)
    assert any(
        p.name == "right_toe" and p.frame < evidence.run.start.front_toe_off for p in evidence.run.points
    )
    found = read(replace(evidence, run=replace(evidence.run, marks=marks))).start.first_step_length_m
    assert found.value == pytest.approx(truth["start"]["first_step_length_from_front_tip_m"], abs=0.03)
    assert found.low <= truth["start"]["first_step_length_from_front_tip_m"] <= found.high


def test_a_mark_on_the_wrong_spot_is_named_and_widens_places(evidence, reading):
    marks = tuple(replace(m, u=m.u + 25) if m.x_m == 2.5 else m for m in evidence.run.marks)
    found = read(replace(evidence, run=replace(evidence.run, marks=marks)))
    assert any("2.5 m" in note for note in found.notes)
    worst = max(found.marks, key=lambda m: m.sigmas)
    assert next(m.x_m for m in marks if m.id == worst.mark_id) == 2.5
    assert found.steps[0].step_length_m.u > reading.steps[0].step_length_m.u


def test_the_clock_starts_with_the_hips_where_their_rest_was_placed(evidence):
    """Hips on every frame: 20 mm forward of the rest, as the truth has it."""
    exact = np.load(SAMPLES / "wing_day1.truth.npz")
    names = exact["names"].tolist()
    rng = np.random.default_rng(3)
    points = tuple(
        BodyPoint(FrameNumber(f), name, *(exact["pixels"][f, names.index(name)] + rng.normal(0, 0.3, 2)))
        for f in range(720)
        for name in ("left_hip", "right_hip")
    )
    _, truth = sample("wing_day1")
    toes = tuple(p for p in evidence.run.points if "toe" in p.name)
    found = read(replace(evidence, run=replace(evidence.run, points=points + toes)))
    assert any("leave their rest" in note for note in found.notes)
    from_hips = truth["events"]["first_movement_s"] + truth["start"]["hip_first_20_mm_s"]
    for shown, of in zip(found.splits, truth["marks"], strict=True):
        passing = truth["events"]["first_movement_s"] + of["hip"]["split_s"]
        assert shown.time_s.value == pytest.approx(passing - from_hips, abs=0.010)
        assert shown.time_s.low <= passing - from_hips <= shown.time_s.high
    for shown, of in zip(found.speeds, truth["marks"], strict=True):
        assert shown.local_m_s.value == pytest.approx(of["hip"]["step_averaged_m_s"], abs=0.05)


def test_the_two_ways_of_a_speed_are_told_apart_by_what_they_do_not_share(evidence):
    """Told apart as any two numbers are, all places together: Holm at 5 %."""
    plain = read(evidence)
    for speed in plain.speeds:
        assert speed.ways_apart_m_s.value == pytest.approx(
            speed.model_m_s.value - speed.local_m_s.value, abs=1e-9
        )
        assert not speed.ways_told_apart
        assert speed.ways_apart_m_s.u <= np.hypot(speed.model_m_s.u, speed.local_m_s.u)
    assert not any("two ways" in note for note in plain.notes)
    # the hips around 10 m stand ever farther ahead: nearby steps run faster than the whole run does
    at = [h.time_s for h in plain.path if 8.0 < h.x_m < 12.0]
    frames = [n for n, t in enumerate(evidence.film.times.seconds) if at[0] <= t <= at[-1]]
    pulled = tuple(
        replace(p, u=p.u + 90 * (p.frame - frames[0]) / len(frames))
        if p.name.endswith("_hip") and frames[0] <= p.frame <= frames[-1]
        else p
        for p in evidence.run.points
    )
    moved = read(replace(evidence, run=replace(evidence.run, points=pulled)))
    apart = moved.speeds[1]
    assert apart.local_m_s.value > plain.speeds[1].local_m_s.value + 0.3
    told = not isinstance(apart.ways_apart_m_s, NoValue) and apart.ways_told_apart
    doubted = any("two ways" in note or "does not hold" in note for note in moved.notes)
    assert told == any("two ways" in note for note in moved.notes)
    assert doubted or isinstance(apart.model_m_s, NoValue)


def test_hips_that_run_backwards_give_no_speed(evidence):
    """The hips of the last frame on the first, and so on: no velocity below nothing stands for a speed."""
    frames = sorted({p.frame for p in evidence.run.points if p.name.endswith("_hip")})
    turned = dict(zip(frames, reversed(frames), strict=True))
    points = tuple(
        replace(p, frame=turned[p.frame]) if p.name.endswith("_hip") else p for p in evidence.run.points
    )
    found = read(replace(evidence, run=replace(evidence.run, points=points)))
    for speed in found.speeds:
        assert isinstance(speed.last_step_m_s, NoValue)
        assert speed.last_step_from_m is None
    assert any("do not run forwards" in note for note in found.notes)
    assert not any("stands instead" in note for note in found.notes)
    assert not any(re.search(r"(?<!\w)-\d", note) for note in found.notes)


def test_without_a_scale_the_last_step_says_what_all_speeds_say(evidence):
    found = read(replace(evidence, run=replace(evidence.run, marks=())))
    for speed in found.speeds:
        assert speed.last_step_m_s == speed.local_m_s
        assert "two marks" in speed.last_step_m_s.reason
