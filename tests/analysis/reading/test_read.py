"""The one call: shape, incompleteness, and what it says of a few runs."""

import math
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read, reading_to_json
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import BodyPoint, Footfall, Side, StartPush
from tests.analysis.reading.numbers import numbers
from tests.analysis.reading.runs import SAMPLES


def test_the_same_evidence_gives_the_same_reading(evidence, reading):
    assert read(evidence) == reading


def test_every_number_has_an_interval_about_it(reading):
    found = [n for _, n in numbers(reading) if isinstance(n, Estimate)]
    assert len(found) > 150
    for number in found:
        assert math.isfinite(number.value)
        assert number.u > 0
        assert number.low < number.value < number.high
        assert 1.64 <= (number.high - number.low) / 2 / number.u <= 1.9601


def test_sentences_are_sentences(reading):
    reasons = {n.reason for _, n in numbers(reading) if isinstance(n, NoValue)}
    for sentence in (*reasons, *reading.notes):
        assert sentence[0].isupper()
        assert sentence[-1] in ".?"


@pytest.mark.parametrize("part", ["marks", "footfalls", "points", "lines", "start"])
def test_what_is_not_marked_costs_only_what_rests_on_it(evidence, reading, part):
    run = replace(evidence.run, **{part: StartPush() if part == "start" else ()})
    without = read(replace(evidence, run=run))
    if part == "footfalls":
        assert without.steps == ()
        assert all(isinstance(s.local_m_s, NoValue) for s in without.speeds)
        return
    assert [s.contact_s for s in without.steps] == [s.contact_s for s in reading.steps]
    if part == "marks":
        assert all("two marks" in s.step_length_m.reason for s in without.steps[:-1])
        assert all(isinstance(line.angle_deg, Estimate) and line.angle_deg.u >= 2.0 for line in without.lines)
    if part == "points":
        assert "shoe" in without.steps[0].step_length_m.reason
        assert "hip" in without.speeds[0].local_m_s.reason
    if part == "lines":
        assert "shin" in without.steps[0].shin_touchdown_deg.reason
    if part == "start":
        assert "first movement" in without.start.rear_foot_push_s.reason
        assert isinstance(without.splits[0].time_s, NoValue)
        assert without.speeds[1].local_m_s == reading.speeds[1].local_m_s


def test_an_empty_run_reads_as_sentences(evidence):
    run = replace(evidence.run, marks=(), footfalls=(), points=(), lines=(), start=StartPush())
    found = read(replace(evidence, run=run))
    assert all(isinstance(n, NoValue) for _, n in numbers(found))
    assert found.steps == ()


@pytest.mark.parametrize("frames", [1, 2, 5])
def test_a_film_of_a_few_pictures_reads_as_sentences(evidence, frames):
    film = FilmFacts(FrameTimes.from_seconds([n * 0.5 for n in range(frames)]), 1280, 720)
    found = read(replace(evidence, film=film))
    assert all(isinstance(s.contact_s, NoValue) for s in found.steps)
    assert any("beyond the film" in note for note in found.notes)


def test_contradictions_become_notes(evidence, reading):
    falls = list(evidence.run.footfalls)
    wrong = replace(falls[3], touchdown=falls[3].toe_off, toe_off=falls[3].touchdown)
    found = read(replace(evidence, run=replace(evidence.run, footfalls=(*falls[:3], wrong, *falls[4:]))))
    reason = next(s.contact_s.reason for s in found.steps if s.footfall_id == wrong.id)
    assert reason in found.notes
    assert found.steps[0].contact_s == reading.steps[0].contact_s


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_a_point_without_a_proper_place_is_left_out_and_said(evidence, reading, bad):
    broken = BodyPoint(FrameNumber(600), "left_hip", bad, 100.0)
    found = read(replace(evidence, run=replace(evidence.run, points=(*evidence.run.points, broken))))
    assert found.steps == reading.steps
    assert any("without a proper place" in note for note in found.notes)


def test_a_draft_footfall_is_left_out(evidence, reading):
    last = max(f.first_frame for f in evidence.run.footfalls)
    draft = Footfall("d", Side.LEFT, FrameNumber(last + 200), FrameNumber(last + 220), draft=True)
    found = read(replace(evidence, run=replace(evidence.run, footfalls=(*evidence.run.footfalls, draft))))
    assert found.steps == reading.steps


def test_what_points_would_give_is_said_with_their_frames(evidence, reading):
    asked = {(row.measure, row.step): row for row in reading.posture}
    lead = asked["trunk_lead_deg", 0]
    movement = evidence.run.start.first_movement
    assert reading.start.trunk_lead_deg == lead.result
    assert {name for _, name in lead.wanted} == {"right_hip", "right_shoulder"}
    frames = sorted({frame for frame, _ in lead.wanted})
    assert movement - 48 <= frames[0] < movement  # 0.2 s of rest at 240
    assert frames[-1] == evidence.run.start.front_toe_off  # and where the hips have gone
    distance = asked["touchdown_distance_m", 1]
    down = evidence.run.footfalls[0].touchdown
    assert reading.steps[0].touchdown_distance_m.reason.startswith("Place ")
    assert {frame for frame, _ in distance.wanted} == {down}


def test_at_thirty_frames_a_second_most_contacts_cannot_be_told_apart(evidence, reading):
    """The same run on every eighth frame."""
    fine = evidence.film.times.seconds
    coarse = fine[::8]

    def on(frame):
        return None if frame is None else FrameNumber(-(-frame // 8))

    falls = tuple(
        replace(f, touchdown=on(f.touchdown), toe_off=on(f.toe_off)) for f in evidence.run.footfalls
    )
    run = replace(evidence.run, footfalls=falls, points=(), lines=(), start=StartPush())
    film = FilmFacts(FrameTimes.from_seconds(coarse.tolist()), 1280, 720)
    slow = [p for p in read(replace(evidence, run=run, film=film)).pairs if p.measure == "contact_s"]
    untold = [p for p in slow if not p.told_apart and isinstance(p.difference, Estimate)]
    assert len(untold) > len(slow) / 2
    coarse_notes = read(replace(evidence, run=run, film=film)).notes
    assert any("at this frame rate (30 a second)" in note for note in coarse_notes)
    # at 240 it is the doubt about the tags that hides them, not the frame rate
    assert any("within the doubt of the tags" in note for note in reading.notes)
    assert not any("this frame rate" in note for note in reading.notes)


def test_pairs_are_judged_together(reading):
    """Told apart together is rarer than told apart alone, and comes in order of certainty."""
    there = [p for p in reading.pairs if isinstance(p.difference, Estimate)]
    sigmas = {
        told: [abs(p.difference.value) / p.difference.half_width for p in there if p.told_apart is told]
        for told in (True, False)
    }
    assert min(sigmas[True]) > 1
    assert min(sigmas[True]) >= max(sigmas[False])
    assert max(sigmas[False]) > 1


def test_slow_motion_is_asked_about(evidence):
    film = FilmFacts(FrameTimes.from_seconds((evidence.film.times.seconds * 8).tolist()), 1280, 720)
    assert any("slow motion" in note for note in read(replace(evidence, film=film)).notes)


def test_the_speed_past_the_last_hip_is_the_last_step_s_mean(evidence, reading):
    """Hips end at the first touchdown past 10 m: no whole step past it."""
    past = next(
        s
        for s in reading.steps
        if s.begins_s > reading.splits[1].time_s.value + reading.steps[0].begins_s - 0.5
    )
    points = tuple(p for p in evidence.run.points if p.frame <= past.touchdown or "toe" in p.name)
    found = read(replace(evidence, run=replace(evidence.run, points=points))).speeds[1]
    assert isinstance(found.local_m_s, NoValue)
    assert isinstance(found.model_m_s, NoValue)
    assert found.last_step_m_s == reading.speeds[1].last_step_m_s


def test_the_last_step_before_a_place_says_where_it_is(evidence, reading):
    """Marks up to 5 m, hips to 7 m: the step under "10 m" ends far before it."""
    exact = np.load(SAMPLES / "wing_day1.truth.npz")
    names = exact["names"].tolist()
    middle = exact["metres"][:, [names.index("left_hip"), names.index("right_hip")], 0].mean(axis=1)
    marks = tuple(m for m in evidence.run.marks if m.x_m <= 5.0)
    points = tuple(p for p in evidence.run.points if middle[p.frame] < 7.5)
    found = read(replace(evidence, run=replace(evidence.run, marks=marks, points=points)))
    speed = found.speeds[1]
    assert speed.x_m == 10.0
    assert isinstance(speed.last_step_m_s, Estimate)
    step = max(s.step for s in found.steps if isinstance(s.step_velocity_m_s, Estimate))
    begin, end = (middle[found.steps[n].touchdown] for n in (step - 1, step))
    assert end < 7.5
    assert speed.last_step_from_m == pytest.approx(begin, abs=0.10)  # a twentieth of the marked stretch out
    assert speed.last_step_to_m == pytest.approx(end, abs=0.10)
    whole = (speed.last_step_to_m - speed.last_step_from_m) / found.steps[step - 1].step_time_s.value
    assert speed.last_step_m_s.value == pytest.approx(whole)
    where = f"{speed.last_step_from_m:.1f} to {speed.last_step_to_m:.1f} m"
    assert any("stands instead" in note and where in note for note in found.notes)
    shown = reading_to_json(found)["speeds"][1]
    assert shown["last_step_from_m"] == speed.last_step_from_m
    assert shown["last_step_to_m"] == speed.last_step_to_m


def test_without_a_last_step_there_is_no_place_of_it(evidence):
    found = read(replace(evidence, run=replace(evidence.run, points=()))).speeds[1]
    assert isinstance(found.last_step_m_s, NoValue)
    assert (found.last_step_from_m, found.last_step_to_m) == (None, None)
