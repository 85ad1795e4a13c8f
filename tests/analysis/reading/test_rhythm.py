"""Breaks, side differences and raggedness of numbers over the steps."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from analysis.reading.breaks import rhythm_candidates
from analysis.reading.rhythm import chance_raggedness, course, nearest_in_order, raggedness, side_difference
from analysis.values.answers import Way
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from tests.analysis.reading.judged_runs import CLEAN, U_S, judged, series

SIDED = [c + (0.009 if n % 2 else -0.009) for n, c in enumerate(CLEAN)]


def test_the_nearest_series_in_order():
    """1 3 2 4 3 5 -> 1 2.5 2.5 3.5 3.5 5: pooled neighbours have their mean (worked by hand)."""
    values = np.array([1.0, 3.0, 2.0, 4.0, 3.0, 5.0])
    assert nearest_in_order(values, rises=True).tolist() == [1.0, 2.5, 2.5, 3.5, 3.5, 5.0]
    assert nearest_in_order(-values, rises=False).tolist() == [-1.0, -2.5, -2.5, -3.5, -3.5, -5.0]
    assert raggedness(values, rises=True) == pytest.approx(np.sqrt(4 * 0.25 / 6))
    assert raggedness(np.sort(values), rises=True) == 0.0


def test_the_nearest_series_is_the_nearest_of_many():
    """Against brute force: no series of a thousand that keep the direction is nearer."""
    rng = np.random.default_rng(3)
    values = rng.normal(0, 1, 5) + np.arange(5) * 0.3
    best = np.sum((values - nearest_in_order(values, rises=True)) ** 2)
    tried = np.sort(values + rng.normal(0, 0.7, (4000, 5)), axis=1)
    assert best <= np.min(np.sum((values - tried) ** 2, axis=1)) + 1e-12


def test_a_clean_run_has_no_break_and_every_number_goes_the_right_way():
    flights = series([0.05 + 0.008 * n for n in range(7)], "flight_s")
    judgement = judged(numbers=[series(CLEAN), flights])
    assert judgement.rhythm.breaks == ()
    assert [c.way for c in judgement.rhythm.courses] == [Way.RIGHT, Way.RIGHT]


@pytest.mark.parametrize(("z", "breaks"), [(2.1, 1), (1.9, 0)])
def test_a_break_is_asked_for_against_the_direction_alone(z, breaks):
    """Two steps: the tail of one side (``scipy.stats.norm``), beside the course, which takes half of the 5 %
    (Holm 1979); two-sided a break would need 2.24.
    """
    candidates = rhythm_candidates([series([0.150, 0.150 + z * U_S * np.sqrt(2)])])
    assert candidates.p == pytest.approx((norm.sf(z), 1.0), rel=1e-4)
    assert len(judged(numbers=[series([0.150, 0.150 + z * U_S * np.sqrt(2)])]).rhythm.breaks) == breaks


def test_a_wrong_way_is_asked_for_against_the_direction_alone():
    """Slope of a least-squares line through equally uncertain values: u / sqrt(sum (x - mean)^2)."""
    rise = 2.2 * U_S / np.sqrt(10)  # five steps
    candidates = rhythm_candidates([series([0.150 + rise * n for n in range(5)])])
    assert candidates.courses[0].way is Way.WRONG
    assert candidates.p[-1] == pytest.approx(norm.sf(2.2), rel=1e-3)


def test_flat_numbers_cannot_be_told_and_reversed_ones_go_the_wrong_way():
    assert course(series([0.15] * 6)).way is Way.UNTOLD
    assert course(series(CLEAN[::-1])).way is Way.WRONG
    assert course(series(CLEAN[:2])).way is Way.NOT_JUDGED
    (departure,) = judged(numbers=[series([0.14 + 0.004 * n for n in range(7)])]).answers[-1].departures
    assert departure.sentence == "Contact time rises over the steps, by 4 ms a step."
    assert departure.frames[:3] == (0, 5, 10)


def test_a_pattern_that_alternates_is_a_side_difference_and_no_break():
    judgement = judged(numbers=[series(SIDED)])
    (side,) = [s for s in judgement.rhythm.sides if s.told]
    assert side.difference.value == pytest.approx(-0.018, abs=0.003)
    assert judgement.rhythm.breaks == ()
    mirrored = judged(numbers=[series(SIDED, first=Side.RIGHT)])
    assert mirrored.rhythm.sides[0].difference.value == pytest.approx(-side.difference.value)


@pytest.mark.parametrize("place", range(1, 7))
def test_one_long_contact_is_a_break_and_no_side_difference(place):
    contacts = list(CLEAN)
    contacts[place] += 0.05
    judgement = judged(numbers=[series(contacts)])
    assert [(b.first_step, b.second_step) for b in judgement.rhythm.breaks] == [(place, place + 1)]
    assert not any(s.told for s in judgement.rhythm.sides)


def test_a_break_beside_a_side_difference_is_still_a_break():
    contacts = list(SIDED)
    contacts[4] += 0.07
    judgement = judged(numbers=[series(contacts, u=0.002)])
    assert (4, 5) in [(b.first_step, b.second_step) for b in judgement.rhythm.breaks]


def test_a_side_difference_needs_two_steps_of_each_side():
    assert isinstance(side_difference(series(SIDED[:3])).difference, NoValue)
    assert not isinstance(side_difference(series(SIDED[:4])).difference, NoValue)


def test_a_curved_course_is_no_side_difference():
    steep = [0.30 * 0.6**n + 0.1 for n in range(7)]
    judgement = judged(numbers=[series(steep, u=0.002)])
    assert not any(s.told for s in judgement.rhythm.sides)


def test_steps_without_a_number_are_left_out():
    contacts = list(CLEAN)
    contacts[2] = None
    judgement = judged(numbers=[series(contacts)])
    assert judgement.rhythm.courses[0].way is Way.RIGHT
    assert judgement.rhythm.breaks == ()


def test_the_answer_says_in_words_whether_times_are_more_ragged_than_chance():
    """Worked by hand; what stands for chance is checked below."""
    contacts = list(CLEAN)
    flights = [0.050, 0.090, 0.050, 0.090, 0.110]
    judgement = judged(numbers=[series(contacts), series(flights, "flight_s")])
    chance = [f"{1000 * course.chance_s:.1f}" for course in judgement.rhythm.courses]
    # nearest in order: 50 70 70 90 110; away from it 0 20 20 0 0 ms: sqrt(800 / 5)
    assert judgement.answers[-1].beside == (
        f"Contact times scatter by 0.0 ms about a steady fall, no more than chance (up to {chance[0]} ms); "
        f"flight times scatter by 12.6 ms about a steady rise, more than chance alone (up to {chance[1]} ms)."
    )
    lengths = series([1.0, 1.2, 1.3], "step_length_m")
    assert judged(numbers=[lengths, series(contacts[:2])]).answers[-1].beside == ""
    assert {one.beside for one in judgement.answers[:-1]} == {""}


def test_what_is_named_is_not_called_chance_in_the_same_breath():
    """One step of twelve against the fall by four sigma of a difference: told, and lost among all steps."""
    contacts = [0.20 - 0.005 * n for n in range(12)]
    contacts[6] += 0.005 + 4 * np.sqrt(2) * U_S
    judgement = judged(numbers=[series(contacts)])
    (course,) = judgement.rhythm.courses
    assert judgement.rhythm.breaks
    assert not course.ragged, "the case that could be misread"
    said = judgement.answers[-1].beside
    assert "no more than chance" not in said
    assert "though what is named above stands out" in said


def test_chance_alone_stays_below_its_limit_in_ninety_five_runs_of_a_hundred():
    """Fresh runs of equal truth, the hardest for an order, and of one that falls."""
    rng = np.random.default_rng(11)
    limit = chance_raggedness(U_S**2 * np.eye(6), rises=False)
    runs = rng.normal(0.15, U_S, (2000, 6))
    beyond = np.mean([raggedness(values, rises=False) > limit for values in runs])
    assert 0.02 < beyond < 0.08
    falling = runs - 0.01 * np.arange(6)
    assert np.mean([raggedness(values, rises=False) > limit for values in falling]) < 0.02
