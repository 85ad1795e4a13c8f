"""A small part of the coverage bench (tests/bench/coverage.py): stated intervals hold the simulated truth."""

import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate
from tests.bench.coverage import RATES, Held, cover, numbers
from tests.bench.coverage_truth import simulate

STEADY = ("contact_s", "flight_s", "step_time_s", "step_length_m", "step_velocity_m_s", "trunk_touchdown_deg")
ONCE = ("split_10_s", "front_split_10_s", "local_10_m_s", "model_10_m_s")
RUNS = 14


@pytest.fixture(scope="module")
def held():
    """Seventy runs, fourteen at each frame rate, all rates together."""
    total = {}
    for rate in RATES:
        for name, found in cover(rate, range(RUNS)).items():
            total.setdefault(name, Held()).merge(found)
    return total


def as_it_should(of, least=0.93, most=0.97):
    """Within the goal, give or take three standard errors of so few runs."""
    return least - 3 * of.share_u <= of.share <= most + 3 * of.share_u


@pytest.mark.parametrize("name", STEADY)
def test_steps(held, name):
    assert as_it_should(held[name]), held[name].share
    assert 0.8 <= held[name].ratio <= 1.2


@pytest.mark.parametrize("name", [*ONCE, "shin_touchdown_deg", "shin_toe_off_deg"])
def test_speeds_splits_and_shins(held, name):
    assert held[name].share >= 0.93 - 3 * held[name].share_u
    assert 0.5 <= held[name].ratio <= 1.2


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_intervals_halved_or_doubled_would_be_noticed(factor):
    found = {}
    for seed in range(RUNS * 2):
        made = simulate(seed, 120)
        for name, pairs in numbers(made, read(made.evidence)).items():
            found.setdefault(name, Held()).add((scaled(n, factor), truth) for n, truth in pairs)
    for name in STEADY:
        assert not as_it_should(found[name]), (name, found[name].share)


def scaled(number, factor):
    if not isinstance(number, Estimate):
        return number
    value, u = number.value, number.u * factor
    low, high = (value + factor * (end - value) for end in (number.low, number.high))
    return number._replace(u=u, low=low, high=high)
