"""The step table from footfalls alone."""

import pytest

from analysis.ground.carried import estimate
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
    steps, notes = step_times(RUN, FILM)
    assert [s.step for s in steps] == [1, 2, 3, 4]
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    assert seconds(steps[0].flight) == pytest.approx(16 * D)
    assert seconds(steps[0].step_time) == pytest.approx(58 * D)
    assert seconds(steps[0].frequency) == pytest.approx(240 / 58)
    assert seconds(steps[0].flight_to_contact) == pytest.approx(16 / 42)
    assert isinstance(steps[3].flight, NoValue)
    assert steps[0].touchdown.seconds == pytest.approx(209.5 * D)
    assert notes == []


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
    steps, notes = step_times([RUN[0], RUN[2], RUN[3]], FILM)
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    for number in (steps[0].flight, steps[0].step_time, steps[0].frequency, steps[0].flight_to_contact):
        assert isinstance(number, NoValue)
        assert "other foot" in number.reason
    assert len(notes) == 1
    assert "right" in notes[0]


def test_both_feet_on_the_ground_is_a_flight_below_zero_and_is_said():
    steps, notes = step_times([fall("left", 200, 290, 0), fall("right", 280, 340, 0)], FILM)
    assert seconds(steps[0].flight) == pytest.approx(-10 * D)
    assert any("both feet" in note for note in notes)


def test_contradicting_footfalls_give_sentences_and_leave_the_others_alone():
    bad = [*RUN, fall("left", 440, 430)]
    steps, notes = step_times(bad, FILM)
    assert seconds(steps[0].contact) == pytest.approx(42 * D)
    assert isinstance(steps[4].contact, NoValue)
    assert steps[4].contact.reason in notes


def test_a_footfall_beyond_the_film_is_said():
    steps, notes = step_times([fall("left", 890, 905)], FILM)
    assert isinstance(steps[0].contact, NoValue)
    assert "beyond" in notes[0]


@pytest.mark.parametrize(("down", "off", "word"), [(None, 252, "touchdown"), (210, None, "toe-off")])
def test_a_missing_event_says_which(down, off, word):
    steps, _ = step_times([fall("left", down, off), *RUN[1:]], FILM)
    assert word in steps[0].contact.reason


def test_start_push():
    steps, _ = step_times(RUN, FILM)
    push = StartPush(FrameNumber(84), FrameNumber(145), FrameNumber(195), Side.RIGHT)
    start, notes = start_times(push, steps, FILM)
    assert seconds(start.rear_push) == pytest.approx(61 * D)
    assert seconds(start.front_push) == pytest.approx(111 * D)
    assert seconds(start.first_flight) == pytest.approx(15 * D)
    assert notes == []


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
    assert "slow motion" in questions[0]
    good, _ = step_times(RUN, FILM)
    assert time_questions(start, good) == []


def test_an_unlikely_contact_is_a_question_about_the_tags():
    steps, _ = step_times(
        [fall("left", 210, 300, 0), fall("right", 320, 328, 0), fall("left", 384, 420, 0)], FILM
    )
    start, _ = start_times(StartPush(), steps, FILM)
    questions = time_questions(start, steps)
    assert any("step 1, 2" in q and q.endswith("?") for q in questions)
