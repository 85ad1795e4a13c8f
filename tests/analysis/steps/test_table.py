"""The step table from footfalls alone."""

from dataclasses import replace

import pytest

from analysis.ground.carried import estimate
from analysis.steps.doubts import OF_START, Doubt, by_step
from analysis.steps.naming import in_steps
from analysis.steps.plausible import time_questions
from analysis.steps.table import start_times, step_times
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Footfall, Side, StartPush

D = 1 / 240
FILM = FrameTimes.from_seconds([n * D for n in range(900)])


def fall(side, down, off, unsure=None, draft=False):
    return Footfall(
        f"{side}{down}{off}",
        Side(side),
        None if down is None else FrameNumber(down),
        None if off is None else FrameNumber(off),
        unsure,
        draft,
    )


RUN = [fall("left", 210, 252), fall("right", 268, 306), fall("left", 326, 362), fall("right", 384, 418)]


def seconds(number):
    return estimate(number).value


def test_durations_are_differences_of_estimates():
    steps, doubts = step_times(RUN, FILM)
    assert [s.step for s in steps] == [1, 2, 3, 4]
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    assert seconds(steps[0].flight) == pytest.approx(16 * D)
    assert seconds(steps[0].step_time) == pytest.approx(58 * D)
    assert steps[0].frequency.value == pytest.approx(240 / 58)
    assert steps[0].flight_to_contact.value == pytest.approx(16 / 42)
    assert steps[0].duty_factor.value == pytest.approx(42 / (326 - 210))
    assert isinstance(steps[3].flight, NoValue)
    assert isinstance(steps[2].duty_factor, NoValue)  # the foot does not land again
    assert steps[0].touchdown.seconds == pytest.approx(209.5 * D)
    assert doubts == []


def test_every_event_uses_the_very_interval_before_it():
    """On a film of uneven rate: one long gap before one touchdown widens that contact alone."""
    times = [n * D for n in range(268)] + [(n + 8) * D for n in range(268, 900)]
    steps, _ = step_times(RUN, FrameTimes.from_seconds(times))
    assert steps[1].touchdown.behind_s == pytest.approx(4.5 * D)
    assert estimate(steps[1].contact).u > 2 * estimate(steps[0].contact).u
    assert seconds(steps[1].contact) == pytest.approx((38 + 4) * D)


def test_order_of_marking_does_not_matter():
    one, two = step_times(RUN, FILM)[0], step_times(RUN[::-1], FILM)[0]
    assert [estimate(s.contact) for s in one] == [estimate(s.contact) for s in two]


def test_drafts_are_left_out():
    steps, _ = step_times([*RUN, fall("left", 430, 450, draft=True)], FILM)
    assert len(steps) == 4


def test_a_missed_footfall_is_named_and_no_step_is_made_up():
    steps, doubts = step_times([RUN[0], RUN[2], RUN[3]], FILM)
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    for number in (steps[0].flight, steps[0].step_time, steps[0].frequency, steps[0].flight_to_contact):
        assert isinstance(number, NoValue)
        assert "other foot" in number.reason
    assert [doubt.step for doubt in doubts] == [1]
    assert "Steps 1 and 2" in doubts[0].sentence
    assert "right" in doubts[0].sentence


def test_both_feet_on_the_ground_is_a_flight_below_zero_and_is_said():
    steps, doubts = step_times([fall("left", 200, 290, 0), fall("right", 280, 340, 0)], FILM)
    assert seconds(steps[0].flight) == pytest.approx(-10 * D)
    assert [doubt.step for doubt in doubts] == [1]
    for words in ("Step 2", "step 1", "both feet", "42 ms"):
        assert words in doubts[0].sentence


def test_a_touchdown_within_the_other_foot_s_contact_is_doubted_by_a_frame_already():
    assert step_times([fall("left", 200, 240), fall("right", 240, 280)], FILM)[1] == []
    _, doubts = step_times([fall("left", 200, 240), fall("right", 239, 280)], FILM)
    assert "Step 2 touches down before step 1" in doubts[0].sentence


def test_contradicting_footfalls_give_sentences_and_leave_the_others_alone():
    bad = [*RUN, fall("left", 440, 430)]
    steps, doubts = step_times(bad, FILM)
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    assert isinstance(steps[4].contact, NoValue)
    assert [(doubt.step, doubt.sentence) for doubt in doubts] == [(5, steps[4].contact.reason)]
    assert doubts[0].sentence.startswith("Step 5: ")


def test_a_footfall_beyond_the_film_is_said():
    steps, doubts = step_times([fall("left", 890, 905)], FILM)
    assert isinstance(steps[0].contact, NoValue)
    assert doubts[0].sentence.startswith("Step 1: ")
    assert "beyond" in doubts[0].sentence


@pytest.mark.parametrize(("down", "off", "word"), [(None, 252, "touchdown"), (210, None, "toe-off")])
def test_a_missing_event_says_which(down, off, word):
    steps, _ = step_times([fall("left", down, off), *RUN[1:]], FILM)
    assert word in steps[0].contact.reason


def test_start_push():
    steps, _ = step_times(RUN, FILM)
    push = StartPush(FrameNumber(84), FrameNumber(145), FrameNumber(195), Side.RIGHT)
    start, doubts = start_times(push, steps, FILM)
    assert seconds(start.rear_push) == pytest.approx(61 * D)
    assert seconds(start.front_push) == pytest.approx(111 * D)
    assert seconds(start.first_flight) == pytest.approx(15 * D)
    assert doubts == []


@pytest.mark.parametrize(
    ("push", "words"),
    [
        (StartPush(FrameNumber(84), FrameNumber(145), FrameNumber(215), Side.RIGHT), "Step 1 touches down"),
        (StartPush(FrameNumber(84), FrameNumber(145), FrameNumber(195), Side.LEFT), "step 1 is on the left"),
        (StartPush(FrameNumber(84), FrameNumber(80)), "start push ends before it begins"),
        (StartPush(FrameNumber(950)), "beyond the film"),
    ],
)
def test_a_start_push_that_does_not_fit_the_first_step_is_doubted(push, words):
    _, doubts = start_times(push, step_times(RUN, FILM)[0], FILM)
    assert any(words in doubt.sentence for doubt in doubts)
    assert all(doubt.step in (OF_START, 1) for doubt in doubts)


def test_an_empty_start_says_what_is_missing():
    start, _ = start_times(StartPush(), (), FILM)
    assert "first movement" in start.rear_push.reason
    assert "toe-off" in start.first_flight.reason


def test_slow_motion_read_at_its_playing_rate_is_asked_about():
    """The same frames on a clock eight times too slow."""
    slow = FrameTimes.from_seconds([n * D * 8 for n in range(900)])
    steps, _ = step_times(RUN, slow)
    start, _ = start_times(StartPush(), steps, slow)
    questions = time_questions(start, steps)
    assert len(questions) == 1
    assert "slow motion" in questions[0].sentence
    good, _ = step_times(RUN, FILM)
    assert time_questions(start, good) == []


def test_an_unlikely_contact_is_a_question_about_the_tags():
    steps, _ = step_times(
        [fall("left", 210, 300, 0), fall("right", 320, 328, 0), fall("left", 384, 420, 0)], FILM
    )
    start, _ = start_times(StartPush(), steps, FILM)
    questions = time_questions(start, steps)
    assert [(q.step, q.sentence.split(":")[0]) for q in questions if "contact" in q.sentence] == [
        (1, "Unusual contact time in step 1, 375 ms"),
        (2, "Unusual contact time in step 2, 33 ms"),
    ]
    assert all(q.sentence.endswith("?") for q in questions)


def test_what_many_steps_ask_is_asked_once():
    falls = [fall("left" if n % 2 else "right", 100 + 60 * n, 110 + 60 * n, 0) for n in range(6)]
    steps, _ = step_times(falls, FILM)
    start, _ = start_times(StartPush(), steps, FILM)
    asked = [q.sentence for q in time_questions(start, steps)]
    assert len(asked) == 1
    assert asked[0].startswith("Unusual contact times in steps 1 to 6: ")


def test_doubts_stand_in_order_of_step():
    mixed = [
        Doubt(None, "Marks."),
        Doubt(2, "Two."),
        Doubt(OF_START, "Start."),
        Doubt(1, "One."),
        Doubt(2, "Two."),
    ]
    assert by_step(mixed) == ("Start.", "One.", "Two.", "Marks.")


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ([1], "step 1"),
        ([2, 1], "steps 1 and 2"),
        ([1, 2, 3, 4], "steps 1 to 4"),
        ([1, 2, 3, 5, 6, 9], "steps 1 to 3, 5, 6 and 9"),
    ],
)
def test_steps_by_their_numbers(steps, words):
    assert in_steps(steps) == words


def test_a_draft_keeps_its_number_and_no_step_goes_over_it():
    drafted = [replace(f, draft=n in (1, 2)) for n, f in enumerate(RUN)]
    steps, doubts = step_times(drafted, FILM)
    assert [one.step for one in steps] == [1, 4]
    assert steps[0].following is None
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    for number in (steps[0].flight, steps[0].step_time):
        assert isinstance(number, NoValue)
        assert "drafts" in number.reason
    assert doubts == []  # of a missed contact nothing can be said before the drafts are settled


def test_the_first_flight_waits_for_a_first_step_that_is_a_draft():
    drafted = [replace(f, draft=n == 0) for n, f in enumerate(RUN)]
    steps, _ = step_times(drafted, FILM)
    start, _ = start_times(StartPush(front_toe_off=FrameNumber(RUN[0].touchdown - 10)), steps, FILM)
    assert isinstance(start.first_flight, NoValue)
    assert "draft" in start.first_flight.reason
