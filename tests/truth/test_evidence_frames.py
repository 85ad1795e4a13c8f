"""What every number of the four questions rests on: the frames of the events that the renderer wrote down.

A verdict may be right though its link goes elsewhere; here the frames are held, not the verdicts.
"""

from __future__ import annotations

import pytest

from analysis.jobs.evidence import evidence_of_sheet
from analysis.reading import read
from analysis.values.answers import together
from analysis.values.estimate import NoValue
from analysis.values.posture import Moment
from analysis.values.questions import Question, Verdict
from tests.analysis.reading.runs import followed_truth
from tests.helpers.evidence_frames import IN_FLIGHT, SAMPLES, TruthFrames

CLIPS = ("wing_day1", "wing_day2")
POSTURE = {
    *IN_FLIGHT, "trunk_lead_deg", "hip_share", "trunk_opening_deg", "spine_bend_deg", "feet_apart_m",
    "to_line_m", "trunk_deg", "knee_deg", "hip_deg", "thigh_deg", "ankle_deg", "shin_deg",
    "trunk_shin_match_deg", "shin_sweep_deg", "knee_gap_m", "touchdown_distance_m", "toe_off_distance_m",
    "touchdown_distance_rise_m", "com_height_m", "com_rise_m", "shoe_backward_speed_m_s",
}  # fmt: skip
"""All that a whole body gives."""
STEPS = ("contact_s", "flight_s", "step_length_m", "step_velocity_m_s")
IN_WORDS = {
    "Contact time": "contact_s",
    "Flight time": "flight_s",
    "Step length": "step_length_m",
    "Step velocity": "step_velocity_m_s",
    "The height of the centre of mass": "com_rise_m",
}


@pytest.fixture(scope="module", params=CLIPS)
def clip(request):
    """The sheet with the true points on every frame, its reading, and the frames of the true events."""
    evidence, _, _ = followed_truth(request.param)
    return evidence, read(evidence), TruthFrames(request.param)


def faults(truth, several):
    found = (truth.fault(one.measure, one.moment, one.step, set(one.frames)) for one in several)
    return [fault for fault in found if fault]


def test_the_sheet_was_tagged_where_the_events_are(clip):
    evidence, _, truth = clip
    run = evidence.run
    assert (run.start.first_movement, run.start.rear_toe_off, run.start.front_toe_off) == (
        truth.first_movement, truth.rear_off, truth.off[0],
    )  # fmt: skip
    assert [fall.touchdown for fall in run.footfalls] == truth.down[1:]
    assert [fall.toe_off for fall in run.footfalls if fall.toe_off is not None] == truth.off[1:]


def test_every_measure_of_posture_rests_on_the_frames_of_its_events(clip):
    _, reading, truth = clip
    rows = [row for row in reading.posture if not isinstance(row.result, NoValue)]
    assert {row.measure for row in rows} == POSTURE
    assert len(rows) > 200
    assert faults(truth, rows) == []


def test_every_measure_of_launch_swap_and_strike_rests_on_the_frames_of_its_events(clip):
    _, reading, truth = clip
    for answer in reading.questions[:3]:
        there = [one for one in answer.measures if not isinstance(one.result, NoValue)]
        assert there, answer.question
        assert faults(truth, there) == []


def test_every_change_over_the_steps_rests_on_the_events_of_both(clip):
    _, reading, truth = clip
    rhythm = reading.questions[-1]
    there = [one for one in rhythm.measures if not isinstance(one.result, NoValue)]
    assert {one.measure for one in there} == {*STEPS, "com_rise_m"}
    for one in there:
        if one.measure in STEPS:
            assert set(one.frames) == truth.change(one.measure, one.step), (one.measure, one.step)
        else:
            assert set(one.frames) == truth.followed(one.measure, Moment.TOUCHDOWN, one.step)


def test_breaks_sides_and_courses_rest_on_the_events_of_their_steps(clip):
    _, reading, truth = clip
    for one in reading.rhythm.breaks:
        expected = truth.change(one.measure, one.second_step)
        assert one.second_step == one.first_step + 1
        assert set(one.frames) == expected, one
    for one in (*reading.rhythm.sides, *reading.rhythm.courses):
        assert set(one.frames) == truth.whole(one.measure), one.measure


def test_what_is_judged_over_the_steps_is_a_row_with_its_number_and_its_frames(clip):
    _, reading, truth = clip
    *_, strike, rhythm = reading.questions
    assert [one.step for one in strike.over_steps] == list(range(2, len(truth.down)))
    for one in strike.over_steps:
        assert set(one.frames) == truth.followed("touchdown_distance_rise_m", Moment.TOUCHDOWN, one.step)
        assert one.result.u > 0
    rows = {one.measure: one for one in rhythm.over_steps}
    for course in reading.rhythm.courses:
        row = rows.pop(f"by_step_{course.measure}")
        assert set(row.frames) == truth.whole(course.measure)
        assert row.result == course.change
    for side in reading.rhythm.sides:
        row = rows.pop(f"left_less_right_{side.measure}")
        assert (set(row.frames), row.result) == (truth.whole(side.measure), side.difference)
        assert (row.verdict is Verdict.OUTSIDE) == side.told
    assert rows == {}


def expected_frames(truth, answer, departure):
    """What a departure may rest on: of each measure that it may be of, the events of its steps together."""
    if answer.question is Question.RHYTHM:
        (measure,) = (key for name, key in IN_WORDS.items() if departure.sentence.startswith(name))
        if not departure.steps:
            return [truth.whole(measure)]
        if measure == "com_rise_m":
            return [truth.followed(measure, Moment.TOUCHDOWN, departure.steps[1])]
        return [truth.change(measure, departure.steps[1])]
    groups = {}
    for one in answer.measures:
        if one.verdict is Verdict.OUTSIDE:
            assert truth.fault(one.measure, one.moment, one.step, set(one.frames)) == ""
            groups.setdefault((one.measure, one.moment, one.beyond > 0), []).append(one)
    of_measures = [
        set().union(*(one.frames for one in group))
        for group in groups.values()
        if tuple(one.step for one in group) == departure.steps
    ]
    if "further in front" not in departure.sentence:
        return of_measures
    return [truth.followed("touchdown_distance_rise_m", Moment.TOUCHDOWN, departure.steps[1])]


def test_departures_rest_on_the_steps_that_they_name_and_answers_on_their_departures(clip):
    _, reading, truth = clip
    for answer in reading.questions:
        for departure in answer.departures:
            assert set(departure.frames) in expected_frames(truth, answer, departure), departure.sentence
        if answer.departures:
            assert answer.frames == together(one.frames for one in answer.departures)
            continue
        untold = [one for one in answer.measures if one.verdict is Verdict.UNTOLD]
        judged = [one for one in answer.measures if one.verdict is not Verdict.NOT_JUDGED]
        if answer.question is not Question.RHYTHM:
            assert faults(truth, judged) == []
            judged = untold or judged
        assert answer.frames == together(one.frames for one in judged) != ()


def test_the_faults_that_were_put_in_are_the_departures_whose_frames_are_held():
    evidence, _, _ = followed_truth("wing_day1")
    found = {answer.question for answer in read(evidence).questions if answer.departures}
    assert {Question.LAUNCH, Question.STRIKE, Question.RHYTHM} <= found


@pytest.mark.parametrize("name", CLIPS)
def test_where_single_frames_were_placed_a_measure_rests_on_those_at_its_event(name):
    """Whole bodies on the tagged frames alone: each measure rests on its event's own frame, and for the
    motion on one that lies at most 60 ms away (docs/measures.md).
    """
    evidence, _ = evidence_of_sheet(SAMPLES / f"{name}.clicked.json")
    truth = TruthFrames(name)
    asked = (
        "touchdown_distance_m",
        "knee_gap_m",
        "shin_deg",
        "trunk_deg",
        "com_height_m",
        "toe_off_distance_m",
    )
    rows = [row for row in read(evidence).posture if row.measure in asked and row.moment is not Moment.SET]
    there = [row for row in rows if not isinstance(row.result, NoValue)]
    assert len(there) > 60
    for row in there:
        tag = (truth.down if row.moment is Moment.TOUCHDOWN else truth.off)[row.step]
        assert tag in row.frames, row
        assert max(abs(frame - tag) for frame in row.frames) <= 0.060 * truth.rate, row
