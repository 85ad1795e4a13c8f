"""The interval of a quotient against a simulation of it (JCGM 101:2008, propagation of distributions)."""

import math

import numpy as np
import pytest

from analysis.ground.carried import combine, estimate, normal, rectangular
from analysis.ground.quotient import quotient
from analysis.values.estimate import NoValue
from tests.bench.simulated import interval


def event(time_s, rate_hz):
    """An event within a frame interval, its contact in doubt by 5 ms either way."""
    return combine(time_s, {rectangular(0.5 / rate_hz): 1.0, rectangular(0.005): 1.0})


def durations(rate_hz):
    """Contact, flight and step time; they share their events."""
    down, off, after = (event(t, rate_hz) for t in (0.0, 0.150, 0.230))
    return off - down, after - off, after - down


def off(shown, ends):
    """How far the ends of an interval lie from others, in the half width of these."""
    half = (ends[1] - ends[0]) / 2
    return np.array([shown.low - ends[0], shown.high - ends[1]]) / half


@pytest.mark.parametrize("rate_hz", [30, 60, 120, 240])
def test_a_frequency_and_a_ratio_have_the_interval_of_a_simulation(rate_hz):
    """To 3 % of the half width: what the factor of mixed rectangular errors is good to."""
    contact, flight, step_time = durations(rate_hz)
    assert np.abs(off(quotient(1.0, step_time), interval(lambda t: 1 / t, step_time))).max() < 0.03
    ratio = interval(lambda above, below: above / below, flight, contact)
    assert np.abs(off(quotient(flight, contact), ratio)).max() < 0.03


def test_first_order_is_not_enough_at_30_frames_a_second():
    """The same comparison fails there without the quotient's own interval."""
    contact, flight, step_time = durations(30)
    assert np.abs(off(estimate(1 / step_time), interval(lambda t: 1 / t, step_time))).min() > 0.08
    ratio = interval(lambda above, below: above / below, flight, contact)
    assert np.abs(off(estimate(flight / contact), ratio)).min() > 0.08


def test_one_over_a_normal_number_has_the_ends_of_that_number():
    """1 / x falls as x rises, so its ends are those of x turned over."""
    shown = quotient(1.0, combine(0.23, {normal(0.02): 1.0}))
    assert shown.low == pytest.approx(1 / (0.23 + 1.96 * 0.02), rel=1e-9)
    assert shown.high == pytest.approx(1 / (0.23 - 1.96 * 0.02), rel=1e-9)
    assert (shown.value, shown.u) == pytest.approx((1 / 0.23, 0.02 / 0.23**2))


def test_an_error_that_both_share_in_full_cancels():
    scale = normal(0.1)
    shown = quotient(combine(2.0, {scale: 2.0}), combine(4.0, {scale: 4.0}))
    assert shown.high - shown.low == pytest.approx(0.0, abs=1e-7)


def test_a_divisor_that_may_be_nothing_gives_no_quotient():
    contact, flight, _ = durations(5)
    assert isinstance(quotient(flight, contact), NoValue)
    assert "more frames a second" in quotient(flight, contact).reason


def test_what_is_missing_is_said_as_it_is():
    why, number = NoValue("Tag it."), combine(1.0, {normal(0.1): 1.0})
    assert quotient(why, number) is why
    assert quotient(number, why) is why
    assert math.isclose(quotient(1.0, number).value, 1.0)
