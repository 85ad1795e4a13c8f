"""Typical error and smallest change against the papers' own data; force and power of the model.

Bland and Altman 1986, peak flow of 17 subjects; Weir 2005, table 1; Shrout and Fleiss 1979. Where a number
was worked out anew from the printed data, it stands to four digits; what the papers print is named.
"""

import math

import numpy as np
import pytest

from analysis.reading.change import pooled_spread, smallest_detectable_change
from analysis.speed.force import Air, drag_factor, force_velocity

FLOW = [
    (494, 490, 512, 525), (395, 397, 430, 415), (516, 512, 520, 508), (434, 401, 428, 444),
    (476, 470, 500, 500), (557, 611, 600, 625), (413, 415, 364, 460), (442, 431, 380, 390),
    (650, 638, 658, 642), (433, 429, 445, 432), (417, 420, 432, 420), (656, 633, 626, 605),
    (267, 275, 260, 227), (478, 492, 477, 467), (178, 165, 259, 268), (423, 372, 350, 370),
    (427, 421, 451, 443),
]  # fmt: skip
SET_A = ([146, 148, 170, 90, 157, 156, 176, 205], [140, 152, 152, 99, 145, 153, 167, 218])
SET_B = ([166, 168, 160, 150, 147, 146, 156, 155], [160, 172, 142, 159, 135, 143, 147, 168])
JUDGES = [(9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7)]


def icc(table):
    """ICC(1,1) after Shrout and Fleiss, (between - within) / (between + (trials - 1) within) of the one-way
    mean squares; the one within subjects is the square of the program's pooled typical error.
    """
    x = np.array(table, dtype=float)
    trials = x.shape[1]
    within = pooled_spread(x.tolist()).typical_error ** 2
    between = trials * x.mean(axis=1).var(ddof=1)
    return (between - within) / (between + (trials - 1) * within)


@pytest.mark.parametrize(("first", "printed"), [(0, 43.294), (2, 56.316)])
def test_the_typical_error_is_that_of_the_peak_flow_meters(first, printed):
    """2 sqrt(mean squared difference) = 43.2 and 56.4 l/min as printed, 43.294 and 56.316 from the printed
    data; a subject's two readings are a day's two runs.
    """
    spread = pooled_spread([flow[first : first + 2] for flow in FLOW])
    assert spread.freedom == 17
    assert 2 * math.sqrt(2) * spread.typical_error == pytest.approx(printed, abs=1e-3)


@pytest.mark.parametrize(("trials", "printed"), [(SET_A, 0.9501), (SET_B, 0.5589)])
def test_the_same_typical_error_in_two_groups_of_very_different_spread(trials, printed):
    """Both sets have the differences 6 4 18 9 12 3 9 13: TE^2 = 860 / 16, by hand."""
    table = list(zip(*trials, strict=True))
    assert pooled_spread(table).typical_error ** 2 == pytest.approx(860 / 16)
    assert icc(table) == pytest.approx(printed, abs=1e-4)


def test_the_smallest_change_that_can_be_detected():
    """Weir's SEM, root of 57.1071, and his minimal difference."""
    assert smallest_detectable_change(math.sqrt(57.1071)) == pytest.approx(20.9467, abs=1e-3)


def test_six_subjects_and_four_judges():
    assert icc(JUDGES) == pytest.approx(0.1657, abs=1e-4)  # printed: .17


# 75 kg, 1.80 m, 9 m/s, 1.1 s, worked out anew from the formulas of Arsac and Locatelli 2002 and Samozino 2016
def test_air_and_drag():
    assert Air().density == pytest.approx(1.204741, abs=1e-6)
    assert Air(celsius=25.0).density == pytest.approx(1.184527, abs=1e-6)
    assert drag_factor(75.0, 1.80, Air()) == pytest.approx(0.280147, abs=1e-6)


def test_force_and_power_with_drag():
    found = force_velocity(9.0, 1.1, 75.0, 1.80)
    assert found.f0 == pytest.approx(8.09835, rel=1e-3)
    assert found.slope == pytest.approx(-0.868256, rel=1e-3)
    assert found.v0 == pytest.approx(9.32715, rel=1e-3)
    assert found.pmax == pytest.approx(18.88365, rel=1e-3)
    assert found.rf_max == pytest.approx(0.53721, rel=1e-3)
    assert found.drf == pytest.approx(-0.077706, rel=1e-3)


def test_without_air_force_falls_straight_to_nothing_at_the_greatest_speed():
    found = force_velocity(9.0, 1.1, 75.0, 1.80, Air(torr=0.0))
    assert (found.f0, found.v0) == pytest.approx((8.181818, 9.0), rel=1e-6)
    assert found.pmax == pytest.approx(18.409091, rel=1e-6)
    assert found.slope == pytest.approx(-1 / 1.1, rel=1e-6)


def test_wind_from_behind_leaves_less_to_push_against():
    still, behind = (force_velocity(9.0, 1.1, 75.0, 1.80, Air(wind_m_s=w)) for w in (0.0, 2.0))
    assert behind.v0 < still.v0
