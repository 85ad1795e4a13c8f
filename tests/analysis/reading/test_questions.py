"""The four questions: verdicts, what they rest on, and where it began."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from analysis.jobs.evidence import evidence_of_sheet
from analysis.plan.grouping import standing_of
from analysis.reading import read
from analysis.reading.first_cause import beyond_the_film, first_cause
from analysis.values.answers import InPart, Unsaid
from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.posture import Moment
from analysis.values.questions import Overruling, Question, Verdict
from analysis.values.run import Footfall, Run, Side
from tests.analysis.reading.judged_runs import BAND, CLEAN, judged, series
from tests.analysis.reading.runs import evidence_of, sample

SAMPLES = Path(__file__).resolve().parents[3] / "sample_clips"
LEAD = ("trunk_lead_deg", Moment.PUSH, 0)
SHARE = ("hip_share", Moment.PUSH, 0)
GAP = ("knee_gap_m", Moment.TOUCHDOWN)
FOOT = ("touchdown_distance_m", Moment.TOUCHDOWN)


def answer(judgement, question):
    return judgement.answers[list(Question).index(question)]


@pytest.mark.parametrize(
    ("value", "u", "verdict"),
    [
        (2.0, 1.0, Verdict.INSIDE),
        (7.5, 1.0, Verdict.UNTOLD),
        (8.5, 1.0, Verdict.UNTOLD),
        (14.0, 1.0, Verdict.OUTSIDE),
        (14.0, 9.0, Verdict.UNTOLD),
        (-9.0, 1.0, Verdict.OUTSIDE),
    ],
)
def test_outside_only_what_can_be_told_and_inside_only_what_is_clear_of_the_ends(value, u, verdict):
    (one,) = answer(judged([(*LEAD, value, u)]), Question.LAUNCH).measures
    assert one.verdict is verdict


@pytest.mark.parametrize(("z", "verdict"), [(1.8, Verdict.OUTSIDE), (1.5, Verdict.UNTOLD)])
def test_a_departure_is_asked_for_on_its_own_side_of_the_band(z, verdict):
    """One-sided at 5 %, the normal tail from 1.645 on (any table); both sides together would ask for 1.96."""
    (one,) = answer(judged([(*LEAD, 8.0 + z, 1.0)]), Question.LAUNCH).measures
    assert one.verdict is verdict


def test_the_answer_rests_on_the_frames_of_its_departures_and_else_on_all_that_was_judged():
    rows = [(*FOOT, 1, -0.1, 0.01), (*FOOT, 2, 0.30, 0.01), (*FOOT, 4, 0.60, 0.01)]
    strike = answer(judged(rows), Question.STRIKE)
    assert strike.verdict is Verdict.OUTSIDE
    (departure,) = strike.departures
    assert departure.steps == (2, 4)
    assert strike.frames == departure.frames == (102, 104)
    assert departure.sentence == (
        "The foot lands far in front of the body on steps 2 and 4: touchdown distance "
        "0.30 m (band \N{MINUS SIGN}0.30 to 0.15 m), 0.60 m (band \N{MINUS SIGN}0.10 to 0.35 m)."
    )
    assert departure.plain == "The foot lands far in front of the body on steps 2 and 4 (0.30 m, 0.60 m)."
    clear = answer(judged(rows[:1]), Question.STRIKE)
    assert (clear.verdict, clear.frames) == (Verdict.INSIDE, (101,))


def test_breaks_rest_on_the_events_of_both_steps():
    contacts = list(CLEAN)
    contacts[3] += 0.040
    judgement = judged(numbers=[series(contacts)])
    (one,) = judgement.rhythm.breaks
    assert (one.first_step, one.second_step, one.frames) == (3, 4, (20, 25, 30, 35))
    rhythm = answer(judgement, Question.RHYTHM)
    assert rhythm.frames == (20, 25, 30, 35)
    assert rhythm.sentence == "Contact time rises by 30 ms from step 3 to step 4."
    assert (
        rhythm.departures[0].plain == "The foot stays on the ground longer on step 4 than on step 3 (30 ms)."
    )


def test_many_steps_outside_one_band_are_told_from_where_to_where():
    rows = [(*GAP, step, -0.40 - 0.01 * step, 0.01) for step in range(1, 8)]
    swap = answer(judged(rows), Question.SWAP)
    assert swap.sentence == (
        "The legs change over late, with the swing knee behind at touchdown on steps 1 to 7: knee gap at "
        "touchdown \N{MINUS SIGN}0.47 to \N{MINUS SIGN}0.41 m (band \N{MINUS SIGN}0.20 to 0.40 m)."
    )


def test_what_is_missing_is_not_judged_and_says_what_would_answer_it():
    judgement = judged([(*LEAD, None, 1.0)], [series(CLEAN)])
    launch = answer(judgement, Question.LAUNCH)
    assert launch.verdict is Verdict.NOT_JUDGED
    assert "Place the point" in launch.sentence
    cause = first_cause(judgement.answers, None)
    assert cause.question is None
    assert cause.unread == (Question.LAUNCH, Question.SWAP, Question.STRIKE)
    assert "not cleared" in cause.sentence
    (settling,) = cause.would_change
    assert (settling.question, settling.wanted, settling.clicks) == (Question.LAUNCH, ((7, "left_hip"),), 1)


def test_without_a_band_nothing_is_judged_but_the_direction():
    judgement = judged([(*LEAD, 30.0, 1.0)], [series(CLEAN)], tables=[])
    launch = answer(judgement, Question.LAUNCH)
    assert launch.verdict is Verdict.NOT_JUDGED
    assert "bands of your own" in launch.sentence
    assert answer(judgement, Question.RHYTHM).verdict is Verdict.INSIDE


def test_the_earliest_question_that_departs_comes_first_and_later_ones_may_follow():
    rows = [(*LEAD, 20.0, 1.0), (*GAP, 1, 0.1, 0.01), (*FOOT, 2, 0.40, 0.01)]
    contacts = list(CLEAN)
    contacts[2] += 0.05
    judgement = judged(rows, [series(contacts)])
    cause = first_cause(judgement.answers, None)
    assert (cause.question, cause.first_readable) == (Question.LAUNCH, False)
    assert {d.question for d in cause.following} == {Question.STRIKE, Question.RHYTHM}
    assert cause.sentence.startswith("First cause: launch. The trunk opens before the hips go")
    assert "strike and rhythm" in cause.sentence
    assert "not a diagnosis" in cause.sentence


def test_first_readable_where_an_earlier_question_could_not_be_read():
    rows = [(*GAP, 1, 0.1, 0.01), (*FOOT, 2, 0.40, 0.01)]
    cause = first_cause(judged(rows).answers, None)
    assert (cause.question, cause.first_readable) == (Question.STRIKE, True)
    assert cause.sentence.startswith("First readable departure: strike. Launch could not be judged")


def test_a_launch_without_its_trunk_lead_is_not_passed_over():
    """Sample day 1: its trunk opens first (the fault that was put in), but clicks for that are missing."""
    sheet = json.loads((SAMPLES / "wing_day1.clicked.json").read_text(encoding="utf-8"))
    cause = read(evidence_of(sheet)).first_cause
    assert (cause.question, cause.first_readable) == (Question.STRIKE, True)
    assert "Launch was judged without its trunk lead, so it may have begun there." in cause.sentence
    standing = standing_of(cause)
    assert standing.question is Question.STRIKE
    assert "may have begun earlier" in standing.doubt


def test_a_question_judged_in_part_is_kept_with_what_it_was_judged_without():
    rows = [(*LEAD, None, 1.0), (*SHARE, 0.8, 0.01), (*GAP, 1, 0.1, 0.01), (*FOOT, 1, -0.2, 0.01)]
    cause = first_cause(judged(rows, [series(CLEAN)]).answers, None)
    assert cause.question is None
    assert cause.in_part == (InPart(Question.LAUNCH, ("trunk lead",)),)
    assert cause.sentence.endswith("Launch was judged without its trunk lead, and so is not cleared.")
    assert standing_of(cause).doubt
    later = first_cause(judged([*rows[:-1], (*FOOT, 1, 0.40, 0.01)]).answers, None)
    assert (later.question, later.first_readable) == (Question.STRIKE, True)
    assert [one.question for one in later.in_part] == [Question.LAUNCH]


def test_what_is_read_from_step_to_step_is_named_once_where_it_is_missing():
    evidence = evidence_of(sample("wing_day2")[0])
    sentence = read(replace(evidence, run=replace(evidence.run, marks=()))).first_cause.sentence
    assert "without its step lengths and step velocities, and so is not cleared" in sentence
    assert "step 1 to step 2" not in sentence


def test_measures_that_only_better_measuring_would_tell_are_named_in_one_sentence():
    """Each once, with all its steps."""
    edge = next(one.low for one in BAND[0].bands if one.measure == GAP[0])
    rows = [(*GAP, step, edge, 0.05) for step in (1, 2, 3, 5)]
    (settling,) = first_cause(judged(rows).answers, None).would_change
    assert "error decides: knee gap at touchdown on steps 1 to 3 and 5." in settling.sentence


def test_where_launch_is_named_what_cannot_be_told_in_it_or_after_it_is_asked_for_too():
    """What was not read after it would change nothing about where it began, and is not asked for."""
    rows = [(*LEAD, 20.0, 1.0), (*SHARE, 0.6, 0.05), (*GAP, 1, -0.19, 0.05), (*FOOT, 1, None, 0.01)]
    cause = first_cause(judged(rows).answers, None)
    assert (cause.question, cause.first_readable) == (Question.LAUNCH, False)
    assert [one.question for one in cause.would_change] == [Question.LAUNCH, Question.SWAP]
    assert "error decides: hip share." in cause.would_change[0].sentence
    assert "error decides: knee gap at touchdown on step 1." in cause.would_change[1].sentence
    clear = first_cause(judged([(*LEAD, 20.0, 1.0), (*GAP, 1, 0.1, 0.01)]).answers, None)
    assert clear.would_change == ()


def test_a_measure_too_close_to_the_end_of_its_band_would_settle_it():
    rows = [(*LEAD, 8.2, 1.0), (*GAP, 1, -0.5, 0.01)]
    cause = first_cause(judged(rows).answers, None)
    assert cause.question is Question.SWAP
    assert [s.question for s in cause.would_change] == [Question.LAUNCH]
    assert "error decides: trunk lead." in cause.would_change[0].sentence
    assert "Judged only in part before it: launch." in cause.sentence


def test_where_the_rhythm_cannot_be_told_it_says_that_a_faster_camera_would():
    flat, clean = (first_cause(judged(numbers=[series(one)]).answers, None) for one in ([0.15] * 6, CLEAN))
    (settling,) = (one for one in flat.would_change if one.question is Question.RHYTHM)
    assert settling.sentence.startswith("Film faster")
    assert settling.clicks == 0
    assert not any(one.question is Question.RHYTHM for one in clean.would_change)


def test_the_coachs_word_stands_beside_the_reading():
    word = Overruling(Question.SWAP, "seen from behind")
    cause = first_cause(judged([(*LEAD, 20.0, 1.0)]).answers, word)
    assert (cause.question, cause.coach) == (Question.LAUNCH, word)


def test_all_comparisons_of_a_run_are_judged_together():
    """2.5 sigma beyond an end is told alone, and not among twenty others (Holm 1979: 0.05 / 21)."""
    alone = [(*LEAD, 10.5, 1.0)]
    others = [(*GAP, step, 0.1, 0.01) for step in range(1, 21)]
    assert answer(judged(alone), Question.LAUNCH).verdict is Verdict.OUTSIDE
    assert answer(judged(alone + others), Question.LAUNCH).verdict is Verdict.UNTOLD


def test_the_source_of_a_band_is_told_with_what_was_taken_for_granted():
    (one,) = answer(judged([(*SHARE, 0.8, 0.01)]), Question.LAUNCH).measures
    assert one.source == "common practice, no source; for an adult from a split stance, which nobody said"
    band = Band("hip_share", Moment.PUSH, 0, 0, 0.7, 0.9, "")
    own = BandTable("o", "W7", 1, BandOrigin.OWN_PATTERN, (band,), runs=6)
    (one,) = answer(judged([(*SHARE, 0.8, 0.01)], tables=[own]), Question.LAUNCH).measures
    assert one.source == "own pattern, 6 runs"


def test_a_centre_of_mass_that_drops_is_a_break():
    rise = ("com_rise_m", Moment.TOUCHDOWN)
    judgement = judged([(*rise, 2, 0.02, 0.005), (*rise, 3, -0.04, 0.005)])
    (one,) = judgement.rhythm.breaks
    assert (one.measure, one.first_step, one.second_step) == ("com_rise_m", 2, 3)
    assert "height of the centre of mass falls by 0.04 m" in answer(judgement, Question.RHYTHM).sentence


FOOT_RISE = ("touchdown_distance_rise_m", Moment.TOUCHDOWN)


def test_a_foot_that_lands_further_in_front_than_the_next_is_a_departure_of_the_strike():
    """From behind the centre of mass to in front of it: Nagahara et al. 2014, Biol Open 3:689-699."""
    judgement = judged([(*FOOT, 2, 0.1, 0.02), (*FOOT_RISE, 2, 0.05, 0.02), (*FOOT_RISE, 3, -0.12, 0.02)])
    strike = answer(judgement, Question.STRIKE)
    assert strike.verdict is Verdict.OUTSIDE
    (departure,) = strike.departures
    assert (departure.steps, departure.frames) == ((2, 3), (103,))
    assert departure.sentence.startswith("The foot lands 0.12 m further in front of the body on step 2")
    assert [one.measure for one in strike.measures] == ["touchdown_distance_m"]
    assert judgement.rhythm.breaks == ()
    right, fall = strike.over_steps
    assert (right.step, right.verdict, right.beyond) == (2, Verdict.INSIDE, 0.0)
    assert (fall.step, fall.verdict, fall.beyond) == (3, Verdict.OUTSIDE, -0.12)
    assert (fall.result.value, fall.result.u, fall.frames) == (-0.12, 0.02, departure.frames)
    assert fall.name == "touchdown distance from step 2 to step 3"


def test_a_fall_within_its_error_is_none_and_a_right_direction_clears_nothing():
    close = judged([(*FOOT_RISE, 2, 0.05, 0.01), (*FOOT_RISE, 3, -0.02, 0.02)])
    strike = answer(close, Question.STRIKE)
    assert strike.verdict is Verdict.NOT_JUDGED
    assert [one.verdict for one in strike.over_steps] == [Verdict.INSIDE, Verdict.UNTOLD]
    assert not any(one.question is Question.STRIKE for one in first_cause(close.answers, None).would_change)


def test_the_break_of_the_sample_run_rests_on_the_frames_that_were_tagged():
    sheet, _ = sample("wing_day1")
    reading = read(evidence_of(sheet))
    second, third = sheet["footfalls"][1:3]
    events = [second["touchdown"], second["toe_off"], third["touchdown"], third["toe_off"]]
    rhythm = reading.questions[-1]
    assert list(rhythm.frames) == events
    assert [(b.measure, b.second_step) for b in reading.rhythm.breaks] == [("contact_s", 3)]
    (broken,) = [one for one in rhythm.measures if one.verdict is Verdict.OUTSIDE]
    assert (broken.measure, broken.step, list(broken.frames)) == ("contact_s", 3, events)
    assert [p for p in reading.pairs if p.against] == [
        p for p in reading.pairs if (p.measure, p.second_step) == ("contact_s", 3)
    ]


@pytest.mark.parametrize(
    ("known", "unsaid"),
    [
        (BandGroup(), (Unsaid.AGE, Unsaid.STANCE)),
        (BandGroup(age=AgeGroup.ADULT), (Unsaid.STANCE,)),
        (BandGroup(age=AgeGroup.ADULT, stance=Stance.SPLIT), ()),
    ],
)
def test_what_starting_bands_take_for_granted_is_said_beside_the_first_cause(known, unsaid):
    judgement = judged([(*LEAD, 20.0, 1.0)], known=known)
    assert judgement.unsaid == unsaid
    cause = first_cause(judgement.answers, None, judgement.unsaid)
    assert ("Nobody said the" in cause.sentence) == bool(unsaid)
    assert all(fact.value in cause.sentence for fact in unsaid)


def test_nothing_is_taken_for_granted_where_no_starting_band_counts():
    band = Band("trunk_lead_deg", Moment.PUSH, 0, 0, -5.0, 8.0, "")
    own = BandTable("o", "W7", 1, BandOrigin.COACH, (band,))
    assert judged([(*LEAD, 20.0, 1.0)], tables=[own, *BAND]).unsaid == ()
    assert judged([(*LEAD, None, 1.0)]).unsaid == ()


SIX_FALLS = (
    *(
        Footfall(str(n), (Side.LEFT, Side.RIGHT)[n % 2], FrameNumber(10 + 50 * n), FrameNumber(40 + 50 * n))
        for n in range(5)
    ),
    Footfall("5", Side.RIGHT, FrameNumber(260), None),
)
"""Contacts of 30 frames; of the last one the toe-off is not tagged."""


@pytest.mark.parametrize(("last", "cut"), [(280, 6), (295, None)])
def test_no_toe_off_is_asked_for_that_the_film_does_not_show(last, cut):
    run = Run("r", "f", "", FrameNumber(0), FrameNumber(last), footfalls=SIX_FALLS)
    times = FrameTimes.from_seconds([n / 240 for n in range(400)])
    assert beyond_the_film(run, times) == cut
    rows = [("trunk_deg", Moment.TOE_OFF, 5, None, 1.0), ("trunk_deg", Moment.TOE_OFF, 6, None, 1.0)]
    asked = first_cause(judged(rows).answers, None, (), beyond_the_film(run, times)).would_change
    said = [one.sentence.partition(":")[0] for one in asked]
    assert said == ["Trunk at toe-off, step 5", "Trunk at toe-off, step 6"][: 1 if cut else 2]


def test_of_a_sample_clip_that_ends_in_a_contact_nothing_asks_for_its_end():
    """The second day's clip ends 17 frames after its tenth touchdown; contacts before it last 27 and more."""
    found = read(evidence_of_sheet(SAMPLES / "wing_day2.clicked.json")[0])
    assert found.steps[-1].toe_off is None
    said = [one.sentence for one in found.first_cause.would_change]
    assert said
    assert not [words for words in said if "toe-off of step 10" in words]
    assert not [words for words in said if words.partition(":")[0].count("step") > 2]
