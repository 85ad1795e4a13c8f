"""The fitter and the speed model against certified and published data."""

import numpy as np
import pytest
from scipy.special import lambertw

from analysis.speed.fit import Fit, fit
from analysis.speed.model import position, time_at, velocity

# NIST Statistical Reference Datasets, y = b1 (1 - exp(-b2 x)); public domain.
MISRA1A = (
    [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760],
    [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78],
    (2.3894212918e02, 5.5015643181e-04),
    (2.7070075241e00, 7.2668688436e-06),
    1.2455138894e-01,
)
BOXBOD = (
    [1, 2, 3, 5, 7, 10],
    [109, 149, 149, 191, 213, 224],
    (2.1380940889e02, 5.4723748542e-01),
    (1.2354515176e01, 1.0455993237e-01),
    1.1680088766e03,
)

# Graubner R, Nixdorf E (2011), New Studies in Athletics 26(1/2):19-53, table A: 100 m, Berlin 2009, by
# finishing place, with the reaction time of the federation's report of the race.
SPLITS = {
    "first": (0.146, [1.88, 2.88, 3.78, 4.64, 5.47, 6.29, 7.10, 7.92, 8.74, 9.58]),
    "second": (0.144, [1.91, 2.93, 3.84, 4.70, 5.54, 6.36, 7.19, 8.02, 8.86, 9.71]),
    "third": (0.134, [1.88, 2.90, 3.83, 4.71, 5.56, 6.40, 7.24, 8.09, 8.95, 9.84]),
}


def saturating(data, start):
    x, y = np.array(data[0], float), np.array(data[1], float)
    return fit(lambda p: p[0] * -np.expm1(-p[1] * x) - y, np.array(start, float))


@pytest.mark.parametrize(
    ("data", "start"),
    [(MISRA1A, (500, 0.0001)), (MISRA1A, (250, 0.0005)), (BOXBOD, (1, 1)), (BOXBOD, (100, 0.75))],
)
def test_certified_fits(data, start):
    """Six digits of the parameters, four of their standard deviations, from either start."""
    found = saturating(data, start)
    assert found.converged
    assert found.parameters == pytest.approx(data[2], rel=1e-6)
    assert found.standard_errors == pytest.approx(data[3], rel=1e-4)
    assert found.rss == pytest.approx(data[4], rel=1e-6)


def test_certified_straight_line_through_the_origin():
    # NIST NoInt1: x = 60..70, y = 130..140
    x, y = np.arange(60.0, 71.0), np.arange(130.0, 141.0)
    found = fit(lambda p: p[0] * x - y, np.array([1.0]))
    assert found.parameters[0] == pytest.approx(2.07438016528926, rel=1e-9)
    assert found.standard_errors[0] == pytest.approx(0.0165289256198347, rel=1e-6)


def fit_splits(x_m, times_s) -> Fit:
    """Greatest speed and time constant from the times at which a runner passes distances: the residual is the
    time, fitted less measured, unweighted.
    """
    return fit(lambda p: time_at(x_m, p[0], p[1]) - times_s, np.array([11.0, 1.2]))


@pytest.mark.parametrize(
    ("runner", "to_m", "vmax", "tau", "rms"),
    [
        ("first", 60, 12.1185, 1.2109, 0.0101),
        ("first", 100, 12.2146, 1.2367, 0.0116),
        ("second", 60, 12.0823, 1.2716, 0.0119),
        ("third", 60, 11.7558, 1.1823, 0.0140),
    ],
)
def test_published_splits(runner, to_m, vmax, tau, rms):
    """Time residuals, unweighted, reaction time taken off (values worked out with scipy from the printed
    table)."""
    reaction, splits = SPLITS[runner]
    x = np.arange(10.0, to_m + 1, 10.0)
    found = fit_splits(x, np.array(splits[: len(x)]) - reaction)
    assert found.parameters[0] == pytest.approx(vmax, abs=0.002)
    assert found.parameters[1] == pytest.approx(tau, abs=0.001)
    assert np.sqrt(found.rss / len(x)) == pytest.approx(rms, abs=0.0001)


def test_published_splits_speed_at_ten_metres_and_residuals():
    reaction, splits = SPLITS["first"]
    x = np.arange(10.0, 61.0, 10.0)
    found = fit_splits(x, np.array(splits[:6]) - reaction)
    vmax, tau = found.parameters
    at_ten = velocity(time_at(np.array([10.0]), vmax, tau), vmax, tau)[0]
    assert at_ten == pytest.approx(9.264, abs=0.01)
    assert vmax / tau == pytest.approx(10.008, abs=0.01)
    assert found.standard_errors == pytest.approx([0.072, 0.023], abs=0.001)
    # fitted less measured: a late start of the movement leaves this pattern
    assert found.residuals == pytest.approx([0.0169, 0.0007, -0.0082, -0.0123, -0.0021, 0.0105], abs=0.0003)


def test_mean_speeds_of_the_published_splits():
    splits = np.array(SPLITS["first"][1])
    times = np.diff(np.concatenate([[SPLITS["first"][0]], splits]))
    assert 10 / times == pytest.approx(
        [5.767, 10.000, 11.111, 11.628, 12.048, 12.195, 12.346, 12.195, 12.195, 11.905], abs=0.001
    )


CLOSED = [  # vmax, tau, times at 5, 10, 20, 30, 40 m, speed at 10 m; worked out with scipy
    (8.5, 1.2, (1.42105, 2.18166, 3.48731, 4.70563, 5.89707), 7.120093),
    (9.0, 1.1, (1.32606, 2.03874, 3.26572, 4.41343, 5.53728), 7.589665),
    (12.2, 1.3, (1.18894, 1.79216, 2.78698, 3.68251, 4.53910), 9.126384),
]


@pytest.mark.parametrize(("vmax", "tau", "times", "speed"), CLOSED)
def test_closed_form_times(vmax, tau, times, speed):
    x = np.array([5.0, 10.0, 20.0, 30.0, 40.0])
    found = time_at(x, vmax, tau)
    assert found == pytest.approx(times, abs=1e-5)
    k = x / (vmax * tau)
    assert found == pytest.approx(tau * (lambertw(-np.exp(-(1 + k))).real + 1 + k), abs=1e-12)
    assert position(found, vmax, tau) == pytest.approx(x, abs=1e-9)
    assert velocity(found[1:2], vmax, tau)[0] == pytest.approx(speed, abs=1e-5)


def test_keller_s_race_model_is_the_same_curve():
    # Keller (1973): F = 12.2 m/s2, tau = 0.892 s; the paper's theory column: 5.48, 6.40, 10.07 s (memory)
    assert time_at(np.array([50.0, 60.0, 100.0]), 12.2 * 0.892, 0.892) == pytest.approx(
        [5.48, 6.40, 10.07], abs=0.02
    )
