"""How a comparison ends in words."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading.closing import closing
from analysis.reading.compare import compare
from analysis.reading.key_names import key_name, keys_name
from analysis.report.page_changes import verdict_words
from analysis.values.answers import Answer, Departure, FirstCause, InPart, Judged
from analysis.values.comparison import Change, Claim, Compared, Comparison, MeasureKey, PublishedError
from analysis.values.estimate import Estimate
from analysis.values.posture import Moment
from analysis.values.questions import Overruling, Question, Verdict
from tests.analysis.reading.compared_runs import KEY, NONE, day, reading

FIRST, SECOND = "2031-05-01", "2031-06-01"


def end(before, after):
    return closing(compare(before, after), after)


def test_of_two_runs_nothing_is_said_of_the_athlete():
    found = end([reading(0.60)], [reading(0.70, day=SECOND)])
    assert found.changed.startswith("The runs differ: hip share higher.")
    assert "can't be said" in found.changed


def test_of_days_with_several_runs_the_change_is_said():
    found = end(day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.92], SECOND))
    assert found.changed == "The athlete changed, as far as two days alone can say: hip share higher."
    sides = day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.92], SECOND)
    others = [one for n in range(4) for one in day([0.62, 0.60, 0.61 + n / 100], f"2031-04-1{n}")]
    assert closing(compare(*sides, others), sides[1]).changed == "The athlete changed: hip share higher."


def test_of_many_measures_without_a_true_change_the_sentence_names_one_in_at_most_a_case_of_twenty():
    """100 measures of their own, three runs on either day, each by itself at 5 % (Holm 1979)."""
    rng = np.random.default_rng(11)
    names = tuple(f"invented{n}_m" for n in range(100))

    def on(date):
        runs = rng.normal(0.7, 0.02, (3, len(names)))
        return [reading(tuple(map(float, run)), 0.004, day=date, measures=names) for run in runs]

    found = [compare(on(FIRST), on(SECOND)) for _ in range(200)]
    claimed = sum(any(row.sure for row in one.rows) for one in found)
    by_itself = sum(any(row.change is not None for row in one.rows) for one in found)
    assert by_itself > 100, "each measure by itself: the sentence must not rest on that"
    assert claimed <= 0.05 * 200 + 2 * math.sqrt(200 * 0.05 * 0.95)


def test_what_departed_before_is_asked_first_and_need_not_share_its_chance_with_a_hundred_others():
    names = ("hip_share", *(f"invented{n}_m" for n in range(100)))
    rng = np.random.default_rng(12)

    def on(date, share):
        runs = rng.normal(0.7, 0.02, (3, len(names)))
        runs[:, 0] = share + rng.normal(0, 0.01, 3)
        return [reading(tuple(map(float, run)), 0.004, day=date, measures=names) for run in runs]

    judged = Judged("hip_share", Moment.PUSH, 0, None, "hip share", NONE, (), None, "", Verdict.OUTSIDE)
    answer = Answer(Question.LAUNCH, Verdict.OUTSIDE, "", (judged,), (), ())
    before = [replace(one, questions=(answer,)) for one in on(FIRST, 0.50)]
    found = compare(before, on(SECOND, 0.62))
    assert found.asked_first == (KEY,)
    assert closing(found, []).changed.startswith(
        "The athlete changed, as far as two days alone can say: hip share higher."
    )


def test_what_stands_against_a_change_stands_in_the_sentence():
    found = end(day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.92], FIRST))
    assert found.changed == "The athlete changed (same day): hip share higher."


def test_runs_that_differ_within_the_spread_of_the_athlete_say_so():
    found = end(day([0.50, 0.60, 0.70], FIRST), day([0.60, 0.70, 0.80], SECOND))
    assert "No more than runs of this athlete do by themselves." in found.changed


def test_of_two_runs_what_cannot_be_told_apart_is_named_with_how_far_it_may_differ():
    """The difference of two numbers known to 0.01 each: 0.01 + 1.96 sqrt(2) 0.01 = 0.038."""
    found = end([reading(0.60)], [reading(0.61)])
    assert found.changed == "No difference can be told."
    assert found.held.startswith("Not told apart, though not proved equal: hip share (within 0.04). ")
    assert "cannot be compared." in found.held  # what neither run has


def published(one, other, u, error):
    """Two runs, judged by a typical error from elsewhere."""
    errors = {"hip_share": PublishedError("hip_share", error, "invented")}
    return compare([reading(one, u)], [reading(other, u, day=SECOND)], published=errors)


def test_what_agrees_to_less_than_counts_held_and_what_may_have_changed_did_not():
    """With a typical error of 0.05 a change of one run to one counts from 1.96 sqrt(2) 0.05 = 0.139 on."""
    found = published(0.60, 0.61, 0.01, 0.05)
    words = "Held, to less than would count as a change: hip share (within 0.04). "
    assert closing(found, []).held.startswith(words)
    for loose in (published(0.60, 0.61, 0.05, 0.05), published(0.60, 0.73, 0.01, 0.05)):
        assert not loose.row(KEY).holds
        assert "Held" not in closing(loose, []).held


def test_what_changed_by_just_as_much_as_counts_is_said_to_have_held_in_at_most_one_case_of_forty():
    """Two one-sided tests at 2.5 % each, on the edge of equivalence; 2,000 pairs of runs."""
    rng = np.random.default_rng(13)
    u, error = 0.01, 0.02
    edge = 1.959964 * error * math.sqrt(2)
    ends = rng.normal((0.60, 0.60 + edge), u, (2000, 2))
    wrong = sum(published(one, other, u, error).row(KEY).holds for one, other in ends)
    assert 0 < wrong <= 0.025 * 2000 + 2 * math.sqrt(2000 * 0.025 * 0.975)
    same = rng.normal(0.60, u, (200, 2))
    assert sum(published(one, other, u, error).row(KEY).holds for one, other in same) > 150


def after(question=None, unread=(), coach=None, first_readable=False, in_part=()):
    """How it ends where this is what the second run shows."""
    departures = () if question is None else (Departure(question, "The foot lands far in front.", (2,), ()),)
    cause = FirstCause(question, first_readable, "", departures, (), unread, (), coach, in_part=in_part)
    last = replace(reading(0.61), first_cause=cause)
    return end([reading(0.60)], [last]).next


def cause(question=None, coach=None, **more):
    """Where a run began."""
    departures = () if question is None else (Departure(question, f"Of {question.value}.", (2,), ()),)
    known = {"first_readable": False, "unread": (), **more}
    readable, unread = known.pop("first_readable"), known.pop("unread")
    return FirstCause(question, readable, "", departures, (), unread, (), coach, **known)


def after_day(*causes):
    """How it ends after a day of several runs."""
    runs = [replace(reading(0.61, run=str(n)), first_cause=one) for n, one in enumerate(causes)]
    return end([reading(0.60)], runs).next


def test_a_departure_of_any_run_of_the_day_remains():
    """A last run without a departure clears none of those before it."""
    launch, strike, none = cause(Question.LAUNCH), cause(Question.STRIKE), cause()
    assert after_day(strike, none, none) == "Next: Of strike. 1 of 3 runs begin with strike."
    assert after_day(strike, launch, none).startswith("Next: Of launch. 1 of 3 runs begin with launch.")
    assert after_day(strike, strike) == "Next: Of strike."
    assert after_day(none, none, none) == "Next: no departure remains that can be told in any of 3 runs."


def test_a_run_of_which_nothing_could_be_judged_neither_clears_nor_counts():
    nothing = cause(unread=tuple(Question))
    assert after_day(cause(Question.SWAP), nothing) == "Next: Of swap."
    assert after_day(cause(), nothing) == "Next: no departure remains that can be told."
    assert "nothing is cleared" in after_day(nothing, nothing)


def test_what_one_run_of_the_day_leaves_open_another_may_clear():
    unread = cause(unread=(Question.LAUNCH,))
    assert "not cleared" not in after_day(cause(), unread)
    assert after_day(unread, unread).endswith("Not judged, and so not cleared: launch.")


def test_the_coachs_word_is_on_its_own_run():
    word = cause(Question.LAUNCH, Overruling(None, "The shoe slipped."))
    assert after_day(word, cause(Question.RHYTHM)) == "Next: Of rhythm. 1 of 2 runs begin with rhythm."
    strike = cause(Question.RHYTHM, Overruling(Question.STRIKE, "Look at the foot."))
    said = "Next, by the coach's own word: strike. Look at the foot. 2 of 3 runs begin with strike."
    assert after_day(strike, cause(Question.STRIKE), cause()) == said


def test_a_question_that_was_not_judged_is_never_passed_over():
    assert after() == "Next: no departure remains that can be told."
    assert after(unread=(Question.LAUNCH, Question.SWAP)) == (
        "Next: no departure remains that can be told. Not judged, and so not cleared: launch and swap."
    )
    assert after(Question.STRIKE, (Question.LAUNCH,)) == (
        "Next: The foot lands far in front. Not judged, and so not cleared: launch."
    )
    assert "nothing is cleared" in after(unread=tuple(Question))
    assert "nothing is cleared" in end([reading(0.60)], [reading(0.61)]).next


def test_a_question_that_was_judged_in_part_is_not_passed_over_either():
    launch = (InPart(Question.LAUNCH, ("trunk lead",)),)
    assert after(in_part=launch) == (
        "Next: no departure remains that can be told. "
        "Launch was judged without its trunk lead, and so is not cleared."
    )
    assert after(Question.STRIKE, first_readable=True, in_part=launch) == (
        "Next: The foot lands far in front. That is the first that could be read: it may have begun earlier. "
        "Launch was judged without its trunk lead, and so is not cleared."
    )


def test_the_coachs_own_word_says_what_comes_next():
    found = after(Question.STRIKE, coach=Overruling(Question.LAUNCH, "The hips wait."))
    assert found == "Next, by the coach's own word: launch. The hips wait."


def test_that_nothing_went_wrong_is_a_word_of_the_coachs_too():
    word = Overruling(None, "So this athlete starts.")
    says = "Next, by the coach's own word: nothing went wrong. So this athlete starts."
    assert after(Question.LAUNCH, coach=word) == says
    assert after(unread=tuple(Question), coach=word) == says


@pytest.mark.parametrize(
    ("key", "value", "way"),
    [
        (MeasureKey("split_s", x_m=10.0), -0.1, "faster"),
        (MeasureKey("split_from_front_toe_off_s", x_m=5.0), 0.1, "slower"),
        (MeasureKey("split_from_first_movement_s", x_m=5.0), -0.1, "faster"),
        (MeasureKey("local_m_s", x_m=10.0), -0.1, "lower"),
        (MeasureKey("contact_s", step=1), -0.1, "lower"),
    ],
)
def test_a_time_to_a_place_is_faster_or_slower(key, value, way):
    number = Estimate(value, 0.01, value - 0.02, value + 0.02)
    change = Change.HIGHER if value > 0 else Change.LOWER
    for row in (
        Compared(key, number, number, number, Claim.DIFFERS),
        Compared(key, number, number, number, Claim.DIFFERS, change, 0.05, "runs", sure=True),
    ):
        found = Comparison((row,), ())
        assert closing(found, []).changed.split(".")[0].endswith(f"{key_name(key)} {way}")
        assert row.change is None or found.verdict(row) == f"changed: {way}"
        assert row.change is None or verdict_words(row) == f"the athlete changed: {way}"
        if row.change is not None:
            assert verdict_words(replace(row, sure=False)) == f"changed, asked by itself: {way}"


@pytest.mark.parametrize(
    ("key", "name"),
    [
        (MeasureKey("contact_s", step=3), "contact time, step 3"),
        (MeasureKey("split_s", x_m=5.0), "split, 5 m"),
        (MeasureKey("knee_deg", Moment.TOUCHDOWN, 2, None, True), "knee at touchdown, step 2, other leg"),
        (MeasureKey("trunk_shin_match_deg", Moment.TOE_OFF, 0), "trunk against shin at front toe-off"),
        (MeasureKey("trunk_shin_match_deg", Moment.TOE_OFF, 2), "trunk against shin at toe-off, step 2"),
        (MeasureKey("touchdown_distance_m", Moment.TOUCHDOWN, 1), "touchdown distance, step 1"),
        (MeasureKey("com_height_m", Moment.TOE_OFF, 0), "height of the centre of mass at toe-off"),
    ],
)
def test_a_number_is_called_as_the_trade_calls_it(key, name):
    assert key_name(key) == name


def test_numbers_of_several_steps_are_called_together():
    steps = [MeasureKey("knee_deg", Moment.TOUCHDOWN, step) for step in (1, 2, 3, 5)]
    assert keys_name(steps) == "knee at touchdown, steps 1 to 3 and 5"
    assert keys_name(steps[:1]) == "knee at touchdown, step 1"
