"""Marks and places that can't be meant so: the reading says it, and what does not hang on them reads on."""

from dataclasses import replace

import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from tests.analysis.reading.runs import evidence_of, sample

EVIDENCE = evidence_of(sample("wing_day1")[0])
WHOLE = read(EVIDENCE)
ON_LINE = tuple(m for m in EVIDENCE.run.marks if m.y_m == 0.0)


def with_marks(*marks):
    return read(replace(EVIDENCE, run=replace(EVIDENCE.run, marks=marks)))


def mark(name, x_m, u, v, y_m=0.0):
    return GroundMark(name, x_m, y_m, FrameNumber(0), u, v)


def assert_the_rest_reads(found):
    """Times never hang on marks; angles of drawn lines hardly do."""
    assert [s.contact_s for s in found.steps] == [s.contact_s for s in WHOLE.steps]
    assert [s.flight_s for s in found.steps] == [s.flight_s for s in WHOLE.steps]
    assert all(isinstance(line.angle_deg, Estimate) for line in found.lines)


THREE_UPRIGHT = tuple(mark(f"p{n}", 5.0, 640.0, 500.0 - 100.0 * n, float(n)) for n in range(3))


@pytest.mark.parametrize(
    ("marks", "word"),
    [
        (THREE_UPRIGHT, "one above the other"),
        ((*ON_LINE[:3], mark("o", 20.0, 2500.0, 505.0)), "Outside the picture: the mark at 20 m"),
        ((ON_LINE[0], mark("o", 13.0, 1290.0, 456.0)), "Outside the picture: the mark at 13 m"),
        ((*ON_LINE[:-1], replace(ON_LINE[-1], x_m=-13.0)), "check their distances and their order"),
        (tuple(replace(m, x_m=-m.x_m) for m in ON_LINE), "against the direction of the run"),
        ((*ON_LINE, replace(ON_LINE[1], id="r", u=500.0)), "Two marks stand at 2.5 m"),
        ((*ON_LINE, replace(ON_LINE[1], id="r", x_m=6.0)), "the same place in the picture"),
        ((replace(ON_LINE[0], u=float("nan")), *ON_LINE[1:]), "its pixel is not a number"),
    ],
    ids=[
        "three in an upright line",
        "outside the picture",
        "just outside the picture",
        "one negative distance",
        "all negative distances",
        "a distance twice",
        "a place twice",
        "no number",
    ],
)
def test_marks_that_cannot_be_so_are_questioned_and_the_rest_reads(marks, word):
    found = with_marks(*marks)
    assert any(word in doubt for doubt in found.doubts)
    assert found.notes[: len(found.doubts)] == found.doubts
    assert_the_rest_reads(found)


def test_three_marks_in_the_running_line_serve_as_what_they_are():
    """No plane, but the line: lengths hold the truth of the whole set of marks."""
    found = with_marks(*ON_LINE[:3])
    assert_the_rest_reads(found)
    for one, two in zip(found.steps[:3], WHOLE.steps[:3], strict=True):
        assert one.step_length_m.low <= two.step_length_m.value <= one.step_length_m.high


def test_a_distance_that_stands_twice_is_left_out_and_the_others_serve():
    found = with_marks(*ON_LINE, replace(ON_LINE[1], id="r", u=500.0))
    for one, two in zip(found.steps[:-1], with_marks(*ON_LINE).steps[:-1], strict=True):
        assert one.step_length_m.value == pytest.approx(two.step_length_m.value, abs=0.02)


def test_a_split_beyond_the_last_hip_says_so_and_the_others_stand():
    found = read(replace(EVIDENCE, run=replace(EVIDENCE.run, report_at_m=(-3.0, 5.0, 40.0))))
    before, at_five, beyond = found.splits
    assert "before \N{MINUS SIGN}3 m" in before.time_s.reason
    assert at_five.time_s.value == pytest.approx(WHOLE.splits[0].time_s.value)
    assert "past 40 m" in beyond.time_s.reason
    assert isinstance(found.speeds[2].local_m_s, NoValue)
    assert isinstance(found.speeds[2].last_step_m_s, Estimate)
    assert_the_rest_reads(found)


def test_a_split_beyond_the_last_mark_says_what_it_costs():
    """Hips were placed past 10 m, marks end at 5 m: the split is extrapolated and its interval grows."""
    found = with_marks(*ON_LINE[:3])
    assert any("extrapolated" in note and "Marks farther out" in note for note in found.notes)
    assert found.splits[1].time_s.u > 2 * WHOLE.splits[1].time_s.u
    assert "marks end at 5 m" in found.speeds[1].local_m_s.reason
    assert found.splits[1].time_s.low <= WHOLE.splits[1].time_s.value <= found.splits[1].time_s.high


def test_a_distance_typed_ten_times_too_large_is_asked_about():
    """Nobody runs at 30 m/s: the scale is asked about, once."""
    asked = [
        note
        for note in with_marks(*(replace(m, x_m=10 * m.x_m) for m in ON_LINE)).doubts
        if "more than anybody" in note
    ]
    assert len(asked) == 1
    assert "distances" in asked[0]
    assert not any("more than anybody" in note for note in WHOLE.doubts)


def test_where_marks_contradict_each_other_all_that_needs_a_scale_says_that():
    """The ground's own reason, whatever is measured: there are marks, so that nobody is told to set some."""
    first = ON_LINE[0]
    found = with_marks(first, replace(first, id="other", u=first.u + 200.0))
    reason = found.splits[0].time_s.reason
    assert reason.startswith("Two marks stand at 0 m")
    said: dict[str, set[str]] = {}
    for row in found.posture:
        if isinstance(row.result, NoValue):
            said.setdefault(row.measure, set()).add(row.result.reason)
    for name in ("trunk_lead_deg", "hip_share", "projection_deg", "knee_gap_m", "touchdown_distance_m"):
        assert reason in said[name], name
    assert not any("Set two marks" in words for of in said.values() for words in of)
