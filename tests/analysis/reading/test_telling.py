"""Can these two be told apart: one comparison, correlated ones, and a family of them."""

import math
from itertools import pairwise

import numpy as np
import pytest

from analysis.ground.carried import combine, moved, normal, rectangular, spread
from analysis.reading.telling import holm, p_value, told_apart
from analysis.values.estimate import NoValue


def test_holm_s_steps_worked_by_hand():
    # Holm (1979): 0.005 <= 0.05/4, 0.01 <= 0.05/3, but 0.03 > 0.05/2: there it stops
    assert holm([0.01, 0.04, 0.03, 0.005]) == [True, False, False, True]
    assert holm([0.04, 0.04]) == [False, False]  # 0.04 > 0.05/2, though each alone would stand
    assert holm([0.024, 0.049]) == [True, True]
    assert holm([]) == []


def test_an_ending_interval_is_five_percent():
    one, other = normal(3.0) + 10.0, normal(4.0) + 10.0 + 1.96 * 5.0
    assert p_value(other - one) == pytest.approx(0.05, abs=1e-4)


def test_correlated_numbers_of_the_guide():
    # GUM H.2: R 127.732(70), X 219.85(30), r(R, X) -0.59:
    # u(X - R) = sqrt(.07^2 + .30^2 + 2 .59 .07 .30) = 0.35
    u = np.array([3.2e-3, 9.5e-6, 7.5e-4])
    r = np.array([[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]])
    sources, rows = [normal(1.0) for _ in u], np.linalg.cholesky(r * np.outer(u, u)).tolist()
    volt, ampere, phase = (
        combine(value, dict(zip(sources, row, strict=True)))
        for value, row in zip((4.999, 19.661e-3, 1.04446), rows, strict=True)
    )
    resistance = volt / ampere * moved(phase * -math.sin(1.04446), math.cos(1.04446))
    reactance = volt / ampere * moved(phase * math.cos(1.04446), math.sin(1.04446))
    assert spread(reactance - resistance)[0] == pytest.approx(0.346, abs=0.006)
    # set 0.64 apart they are 1.85 u apart and not told; without the correlation, u = 0.31, they would be
    near = reactance - resistance - (reactance - resistance).nominal_value + 0.64
    assert told_apart([near]) == [False]
    assert 1.96 * math.hypot(0.07, 0.30) < 0.64


def test_errors_that_both_share_cancel():
    shared = normal(1.0)
    assert told_apart([(shared + normal(0.01) + 0.1) - (shared + normal(0.01))]) == [True]
    assert told_apart([(normal(1.0) + 0.1) - normal(1.0)]) == [False]


def test_a_family_without_differences_is_clean_in_nineteen_of_twenty():
    """Fourteen successive differences that share their events' errors, as contacts of a run do."""
    rng = np.random.default_rng(8)
    errors = [rectangular(1.0) + rectangular(0.8) for _ in range(15)]
    ends = [float(e.std_dev) for e in errors]
    wrong = alone = 0
    for _ in range(1500):
        drawn = rng.uniform(-1, 1, 15) + rng.uniform(-0.8, 0.8, 15)
        numbers = [e + float(d) for e, d in zip(errors, drawn, strict=True)]
        differences = [b - a for a, b in pairwise(numbers)]
        wrong += any(told_apart(differences))
        alone += any(p_value(d) < 0.05 for d in differences)
    assert len(set(np.round(ends, 9))) == 1
    assert wrong / 1500 < 0.065
    assert alone / 1500 > 0.3  # what the family-wise rule is for


def test_what_has_no_number_is_not_counted():
    clear = normal(1.0) + 2.3  # p = 0.021: told alone, not among three
    assert told_apart([clear, NoValue("none")]) == [True, False]
    assert told_apart([clear, normal(1.0), normal(1.0)]) == [False, False, False]
