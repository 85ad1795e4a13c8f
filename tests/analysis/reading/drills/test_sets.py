"""Repetitions within a set and sets against each other, as two views."""

import numpy as np
import pytest
from scipy import stats

from analysis.ground.carried import combine, normal
from analysis.reading.drills.rep import DrillReading, RepReading
from analysis.reading.drills.sets import across_sets, best_rep, within_set
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillKind
from analysis.values.estimate import NoValue
from tests.helpers.drill_evidence import film_of, rep

SPEED = MeasureKey("release_speed_m_s")


def readings(sets, own_u=0.05, shared_u=0.5):
    """A film of these speeds, set by set; all share the error of one scale."""
    scale = normal(shared_u)
    made = []
    for number, speeds in enumerate(sets, start=1):
        for n, speed in enumerate(speeds, start=1):
            value = combine(speed, {scale: 1.0, normal(own_u): 1.0}) if speed else NoValue("not read")
            place = 100 * number + 10 * n
            made.append(RepReading(rep(n, place, place + 9, set_number=number), {SPEED: value}))
    film = film_of(DrillKind.THROW, [one.rep for one in made])
    return [DrillReading(film, tuple(made))]


def test_within_a_set_the_error_that_reps_share_cancels():
    table = within_set(readings([[7.0, 7.05, 7.4], [8.0]]), 1)
    first, second, third = table.rows[SPEED]
    assert table.heads == ((1, 1), (1, 2), (1, 3))
    assert first.difference is None
    assert not second.told
    assert third.told
    assert third.difference.value == pytest.approx(0.4)
    assert third.difference.u == pytest.approx(np.hypot(0.05, 0.05))
    assert third.number.u > 0.5


def test_across_sets_means_stand_with_their_counts():
    table = across_sets(readings([[7.0, 7.2, 7.1], [7.6, 7.5, 7.7]]))
    one, two = table.rows[SPEED]
    assert table.heads == ((1, 0), (2, 0))
    assert (one.count, two.count) == (3, 3)
    assert two.number.value == pytest.approx(7.6)
    assert two.difference.value == pytest.approx(0.5)
    # the pooled two-sample t-test of scipy at 5 % is at the same least difference
    found = stats.ttest_ind([7.6, 7.5, 7.7], [7.0, 7.2, 7.1])
    assert two.least == pytest.approx(0.5 / found.statistic * stats.t.ppf(0.975, 4))
    assert two.told
    assert two.beyond


def test_a_difference_within_the_spread_of_the_reps_is_not_beyond_it():
    table = across_sets(readings([[6.0, 8.0, 7.0], [7.4, 6.4, 8.4]]))
    two = table.rows[SPEED][1]
    assert two.told  # beyond errors of measuring
    assert not two.beyond


def test_two_reps_a_set_are_too_few_to_tell_of_the_spread():
    two = across_sets(readings([[7.0, 7.1], [7.6, 7.5]])).rows[SPEED][1]
    assert two.told
    assert two.least is None
    assert not two.beyond


def test_a_rep_without_a_number_counts_for_nothing():
    table = within_set(readings([[None, 7.0, 7.4]]), 1)
    none, first, third = table.rows[SPEED]
    assert none.difference is None
    assert first.difference is None
    assert third.difference.value == pytest.approx(0.4)
    assert across_sets(readings([[None, 7.0, 7.4]])).rows[SPEED][0].count == 2


def test_the_best_rep_is_the_fastest_throw():
    assert best_rep(readings([[7.0, 7.9, 7.4]])).rep.number == 2
    assert best_rep(readings([[None, 7.9, None]])) is None


def test_chance_alone_tells_reps_apart_in_one_set_of_twenty_at_most():
    random, told = np.random.default_rng(3), 0
    for _ in range(200):
        speeds = 7.0 + random.normal(0.0, 0.05, 5)
        told += any(cell.told for cell in within_set(readings([list(speeds)]), 1).rows[SPEED])
    assert told <= 18  # 0.05 of 200, and twice its standard deviation besides
