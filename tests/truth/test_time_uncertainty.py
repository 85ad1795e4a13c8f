"""Event times from frames and combined uncertainties, against the GUM's clauses and worked examples.

Source of the clauses: JCGM 100:2008 (GUM) 4.3.7, 4.3.9, F.2.2.1, H.1, H.2; the table of event times follows
from them (rectangular u = d / sqrt(12), a difference of two: u = d / sqrt(6)).
"""

import math
from fractions import Fraction

import numpy as np
import pytest
from uncertainties import covariance_matrix, ufloat

from analysis.ground.carried import (
    combine,
    covariances,
    coverage_factor,
    estimate,
    moved,
    normal,
    rectangular,
    spread,
)
from analysis.reading.telling import told_apart
from analysis.steps.events import read_event
from analysis.steps.table import step_times
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Footfall, Side

FRAME_TABLE = [  # frames a second, u(event), u(duration), 1.96 d / sqrt(3), all in ms
    (30, 9.6225, 13.6083, 37.72),
    (60, 4.8113, 6.8041, 18.86),
    (120, 2.4056, 3.4021, 9.43),
    (240, 1.2028, 1.7010, 4.71),
    (480, 0.6014, 0.8505, 2.36),
]


def film(rate, frames=2000):
    return FrameTimes.from_seconds([n / rate for n in range(frames)])


def test_rectangular_bound_is_the_guide_s_four_degrees():
    # GUM 4.4.5: bounds 96 and 104 degrees C, u = 4 / sqrt(3) = 2.3
    assert float(rectangular(4.0).std_dev) == pytest.approx(2.309401, abs=1e-6)


def test_expansion_of_copper_is_the_guide_s():
    # GUM 4.3.7: 16.52e-6 +- 0.40e-6, u^2 = 53.3e-15
    assert float(rectangular(0.40e-6).std_dev) ** 2 == pytest.approx(5.3333e-14, rel=1e-4)


def test_resolution_of_a_reading():
    # GUM F.2.2.1: u = 0.29 resolution
    assert float(rectangular(0.5).std_dev) == pytest.approx(0.288675, abs=1e-6)


def test_ratio_of_two_measured_values():
    # (4.0 +- 0.5) / (2.0 +- 0.2) = 2.00 +- 0.32 (BMClab/BMC, PropagationUncertainty.ipynb)
    ratio = (normal(0.5) + 4.0) / (normal(0.2) + 2.0)
    assert estimate(ratio).value == pytest.approx(2.0)
    assert estimate(ratio).u == pytest.approx(0.3201562, abs=1e-6)


def test_the_end_gauge_is_the_guide_s():
    """GUM H.1, l = l_s + d - l_s (da th + a_s dth), first order: 50 000 838 nm, u = 32 nm (31.7)."""
    standard = combine(50_000_623.0, {normal(25.0): 1.0})
    # of the mean of five readings, of the comparator at random and as a whole
    difference = combine(215.0, {normal(13 / math.sqrt(5)): 1.0, normal(3.9): 1.0, normal(6.7): 1.0})
    expansion = combine(11.5e-6, {rectangular(2e-6): 1.0})
    expansions_apart = combine(0.0, {rectangular(1e-6): 1.0})
    # mean of the bath and its swing, whose distribution is U-shaped: u = 0.5 / sqrt(2)
    off_twenty = combine(-0.1, {normal(0.2): 1.0, normal(0.5 / math.sqrt(2)): 1.0})
    temperatures_apart = combine(0.0, {rectangular(0.05): 1.0})
    length = standard + difference
    length -= standard * (expansions_apart * off_twenty + expansion * temperatures_apart)
    shown = estimate(length)
    assert shown.value == pytest.approx(50_000_838.0, abs=0.5)
    assert shown.u == pytest.approx(31.664, abs=0.05)


def test_correlated_inputs_give_the_guide_s_resistance_and_reactance():
    """GUM H.2, the three inputs as numbers that share their error sources."""
    u = np.array([3.2e-3, 9.5e-6, 7.5e-4])
    r = np.array([[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]])
    sources = [normal(1.0) for _ in range(3)]
    rows = np.linalg.cholesky(r * np.outer(u, u))
    volt, ampere, phase = (
        combine(value, dict(zip(sources, row.tolist(), strict=True)))
        for value, row in zip((4.999, 19.661e-3, 1.04446), rows, strict=True)
    )
    resistance, reactance, impedance = (
        volt / ampere * moved(phase * -math.sin(1.04446), math.cos(1.04446)),
        volt / ampere * moved(phase * math.cos(1.04446), math.sin(1.04446)),
        volt / ampere,
    )
    for number, value, error in (
        (resistance, 127.732, 0.070),
        (reactance, 219.85, 0.30),
        (impedance, 254.26, 0.24),
    ):
        shown = estimate(number)
        assert shown.value == pytest.approx(value, abs=0.006)
        assert shown.u == pytest.approx(error, abs=0.006)
    c = covariances([resistance, reactance, impedance])
    s = np.sqrt(np.diag(c))
    assert c[0, 1] / s[0] / s[1] == pytest.approx(-0.59, abs=0.006)
    assert c[0, 2] / s[0] / s[2] == pytest.approx(-0.49, abs=0.006)
    assert c[1, 2] / s[1] / s[2] == pytest.approx(0.99, abs=0.006)


@pytest.mark.parametrize(("rate", "event_ms", "duration_ms", "limit_ms"), FRAME_TABLE)
def test_sure_events_have_the_uncertainty_of_a_frame_interval(rate, event_ms, duration_ms, limit_ms):
    times = film(rate)
    event = read_event(times, 50, unsure_frames=0)
    other = read_event(times, 100, unsure_frames=0)
    assert estimate(event.time).u * 1e3 == pytest.approx(event_ms, abs=1e-4)
    duration = other.time - event.time
    assert estimate(duration).u * 1e3 == pytest.approx(duration_ms, abs=1e-4)
    third, fourth = (read_event(times, f, unsure_frames=0) for f in (150, 200))
    change = (fourth.time - third.time) - duration
    assert 1.96 * spread(change)[0] * 1e3 == pytest.approx(limit_ms, abs=0.01)


@pytest.mark.parametrize("rate", [30, 240])
def test_events_at_a_random_phase_scatter_as_stated(rate):
    rng = np.random.default_rng(12)
    d = 1 / rate
    begin = rng.uniform(0, d, 1_000_000)
    end = begin + rng.uniform(0.1, 0.3, 1_000_000)
    tagged = [np.ceil(t / d) * d - d / 2 for t in (begin, end)]
    assert np.std(tagged[0] - begin) == pytest.approx(d / math.sqrt(12), rel=0.01)
    assert np.std(tagged[1] - tagged[0] - end + begin) == pytest.approx(d / math.sqrt(6), rel=0.01)
    # what the code states for the first of them
    times = film(rate)
    frame = round((tagged[0][0] + d / 2) / d) + 20
    event = read_event(times, frame, 0)
    assert event.seconds == pytest.approx(times.at(frame) - d / 2)
    assert estimate(event.time).u == pytest.approx(np.std(tagged[0] - begin), rel=0.01)


def test_contact_and_flight_share_a_toe_off():
    falls = [
        Footfall("a", Side.LEFT, FrameNumber(100), FrameNumber(140), 0),
        Footfall("b", Side.RIGHT, FrameNumber(160), FrameNumber(200), 0),
    ]
    (step, _), _ = step_times(falls, film(240))
    c = covariances([step.contact, step.flight])
    assert c[0, 1] / math.sqrt(c[0, 0] * c[1, 1]) == pytest.approx(-0.5)
    # their sum, the step time, has u = d / sqrt(6), not d / sqrt(3)
    assert estimate(step.contact + step.flight).u == pytest.approx(1 / 240 / math.sqrt(6))
    assert estimate(step.step_time).u == pytest.approx(1 / 240 / math.sqrt(6))


@pytest.mark.parametrize(
    ("rectangular_shares", "factor"), [([1.0], 1.65), ([0.5, 0.5], 1.90), ([0.25] * 4, 1.94), ([], 1.96)]
)
def test_width_of_an_interval_follows_the_parts(rectangular_shares, factor):
    # JCGM 101:2008: rectangular 1.65, triangular 1.90; four terms 1.94
    assert coverage_factor(rectangular_shares) == pytest.approx(factor, abs=0.006)


@pytest.mark.parametrize(
    "shares",
    [[1.0], [0.9], [0.7], [0.5], [0.5, 0.5], [0.7, 0.3], [0.85, 0.15], [0.25] * 4, [0.6, 0.2, 0.2], []],
)
def test_intervals_hold_95_percent_of_simulated_errors(shares):
    rng = np.random.default_rng(5)
    n = 400_000
    error = math.sqrt(max(0.0, 1 - sum(shares))) * rng.standard_normal(n)
    for share in shares:
        error = error + math.sqrt(share) * rng.uniform(-math.sqrt(3), math.sqrt(3), n)
    assert coverage_factor(shares) == pytest.approx(float(np.quantile(np.abs(error), 0.95)), abs=0.05)
    held = np.mean(np.abs(error) <= coverage_factor(shares))
    assert 0.94 <= held <= 0.96


@pytest.mark.parametrize("rate", [30, 60, 120, 240])
def test_one_frame_is_never_told_apart_and_two_always(rate):
    """Independent contacts with sure tags: limit 1.94 d / sqrt(3), between one frame and two."""
    times = film(rate)

    def contact(begin, frames):
        return read_event(times, begin + frames, 0).time - read_event(times, begin, 0).time

    base = contact(100, 30)
    assert [told_apart([contact(200, n) - base])[0] for n in (31, 29, 32, 28)] == [False, False, True, True]


def test_doubt_about_the_contact_is_five_milliseconds_either_way():
    times = film(240)
    d = 1 / 240
    assert estimate(read_event(times, 60).time).u == pytest.approx(math.sqrt(d**2 / 12 + 0.005**2 / 3))
    for n in (0, 1, 3):
        assert estimate(read_event(times, 60, n).time).u == pytest.approx((2 * n + 1) * d / math.sqrt(12))


def test_the_library_uncertainties_carries_the_same_errors():
    """Sums, products and quotients of numbers that share sources, with floats on either side."""
    rng = np.random.default_rng(3)
    for _ in range(50):
        u, parts, values = rng.uniform(0.01, 0.3, 4), rng.normal(size=(3, 4)), rng.uniform(2, 5, 3)
        own = [normal(float(each)) for each in u]
        theirs = [ufloat(0.0, float(each)) for each in u]
        of_own = [
            combine(v, dict(zip(own, row.tolist(), strict=True)))
            for v, row in zip(values, parts, strict=True)
        ]
        of_theirs = [
            sum(c * s for c, s in zip(row, theirs, strict=True)) + v
            for v, row in zip(values, parts, strict=True)
        ]
        made, expected = (
            [
                a + b * c - a / c,
                (a - b) / (b + 2.0) * 3.0,
                1.5 / c - (2.0 - a) / 4.0,
                -(a * a) + np.float64(2.0) * b,
            ]
            for a, b, c in (of_own, of_theirs)
        )
        for one, other in zip(made, expected, strict=True):
            assert one.nominal_value == pytest.approx(other.nominal_value, rel=1e-12)
            assert one.std_dev == pytest.approx(other.std_dev, rel=1e-9)
        np.testing.assert_allclose(covariances(made), covariance_matrix(expected), rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(
    ("rate", "scale"), [(60, 1), (240, 1), (240, Fraction(1, 8)), (240, Fraction(1, 90)), (50, 1)]
)
def test_times_that_a_file_rounds_are_less_well_known(rate, scale):
    """Matroska's unit of 1 ms (RFC 9559: TimestampScale, 1,000,000 ns by default), slow motion too.

    Rounding is rectangular (GUM F.2.2.1), and at worst that of both frames' times is the same; beside it how
    far means of two rounded times really stray, over films that begin anywhere within a unit.
    """
    unit, interval = 0.001 * float(scale), 1 / rate
    begin = np.random.default_rng(4).uniform(0, unit, 4000)[:, None]
    true = begin + 60 * interval + np.array([-interval, 0.0])
    strays = np.mean(np.round(true / unit) * unit - true, axis=1)
    pts = [round(n * interval / unit) for n in range(200)]
    d = (pts[60] - pts[59]) * unit
    u = estimate(read_event(FrameTimes(tuple(pts), Fraction(1, 1000) * scale), 60, 0).time).u
    if unit > 0.05 * d and rate != 50:  # at 50 every time is a whole millisecond
        assert u == pytest.approx(math.sqrt(d**2 / 12 + unit**2 / 12), rel=1e-9)
    else:
        assert u == pytest.approx(d / math.sqrt(12), rel=1e-9)
    assert np.std(strays) <= 1.02 * unit / math.sqrt(12)
