"""Agreement and reliability against the papers' own data; force and power of the model.

Bland and Altman 1986, peak flow of 17 subjects; Weir 2005, table 1; Shrout and Fleiss 1979. Where a number
was worked out anew from the printed data, it stands to four digits; what the papers print is named.
"""

import pytest

from analysis.reading.repeatability import (
    agreement,
    reliability,
    repeatability_coefficient,
    smallest_detectable_change,
    typical_error,
)
from analysis.speed.force import Air, ForceVelocity, drag_factor, force_velocity
from analysis.values.estimate import NoValue

FLOW = [
    (494, 490, 512, 525), (395, 397, 430, 415), (516, 512, 520, 508), (434, 401, 428, 444),
    (476, 470, 500, 500), (557, 611, 600, 625), (413, 415, 364, 460), (442, 431, 380, 390),
    (650, 638, 658, 642), (433, 429, 445, 432), (417, 420, 432, 420), (656, 633, 626, 605),
    (267, 275, 260, 227), (478, 492, 477, 467), (178, 165, 259, 268), (423, 372, 350, 370),
    (427, 421, 451, 443),
]  # fmt: skip
FIRST, AGAIN, MINI, MINI_AGAIN = (list(column) for column in zip(*FLOW, strict=True))
SET_A = ([146, 148, 170, 90, 157, 156, 176, 205], [140, 152, 152, 99, 145, 153, 167, 218])
SET_B = ([166, 168, 160, 150, 147, 146, 156, 155], [160, 172, 142, 159, 135, 143, 147, 168])
JUDGES = [(9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7)]


def test_limits_of_agreement_of_the_two_meters():
    found = agreement(FIRST, MINI, 2.0)  # printed: -2.1, 38.8, -79.7 and 75.5
    assert (found.bias, found.sd) == pytest.approx((-2.1176, 38.7651), abs=1e-4)
    assert (found.low, found.high) == pytest.approx((-79.648, 75.413), abs=1e-3)
    narrow = agreement(FIRST, MINI)
    assert (narrow.low, narrow.high) == pytest.approx((-78.097, 73.862), abs=1e-3)


def test_repeats_of_each_meter():
    # the paper prints 43.2 and 56.4
    assert repeatability_coefficient(FIRST, AGAIN) == pytest.approx(43.294, abs=1e-3)
    assert repeatability_coefficient(MINI, MINI_AGAIN) == pytest.approx(56.316, abs=1e-3)
    assert typical_error(FIRST, AGAIN) == pytest.approx(15.3612, abs=1e-4)
    assert typical_error(MINI, MINI_AGAIN) == pytest.approx(20.4158, abs=1e-4)


@pytest.mark.parametrize(
    ("trials", "between", "icc"),
    [(SET_A, 2098.536, (0.9501, 0.9500, 0.9470)), (SET_B, 189.964, (0.5589, 0.5527, 0.5377))],
)
def test_the_same_error_and_very_different_correlations(trials, between, icc):
    found = reliability(list(zip(*trials, strict=True)))
    assert found.between == pytest.approx(between, abs=1e-3)
    assert found.error == pytest.approx(57.1071, abs=1e-4)
    assert found.sem == pytest.approx(7.5569, abs=1e-4)
    assert smallest_detectable_change(found.sem) == pytest.approx(20.9467, abs=1e-3)
    assert (found.icc_1_1, found.icc_2_1, found.icc_3_1) == pytest.approx(icc, abs=1e-4)


def test_six_subjects_and_four_judges():
    found = reliability(JUDGES)  # printed: .17, .29, .71
    assert (found.icc_1_1, found.icc_2_1, found.icc_3_1) == pytest.approx((0.1657, 0.2898, 0.7148), abs=1e-4)
    assert found.sem == pytest.approx(1.0097, abs=1e-4)


# 75 kg, 1.80 m, 9 m/s, 1.1 s, worked out anew from the formulas of Arsac and Locatelli 2002 and Samozino 2016
def test_air_and_drag():
    assert Air().density == pytest.approx(1.204741, abs=1e-6)
    assert Air(celsius=25.0).density == pytest.approx(1.184527, abs=1e-6)
    assert drag_factor(75.0, 1.80, Air()) == pytest.approx(0.280147, abs=1e-6)


def test_force_and_power_with_drag():
    found = force_velocity(9.0, 1.1, 30.0, 75.0, 1.80)
    assert isinstance(found, ForceVelocity)
    assert found.f0 == pytest.approx(8.09835, rel=1e-3)
    assert found.slope == pytest.approx(-0.868256, rel=1e-3)
    assert found.v0 == pytest.approx(9.32715, rel=1e-3)
    assert found.pmax == pytest.approx(18.88365, rel=1e-3)
    assert found.rf_max == pytest.approx(0.53721, rel=1e-3)
    assert found.drf == pytest.approx(-0.077706, rel=1e-3)


def test_without_air_force_falls_straight_to_nothing_at_the_greatest_speed():
    found = force_velocity(9.0, 1.1, 30.0, 75.0, 1.80, Air(torr=0.0))
    assert (found.f0, found.v0) == pytest.approx((8.181818, 9.0), rel=1e-6)
    assert found.pmax == pytest.approx(18.409091, rel=1e-6)
    assert found.slope == pytest.approx(-1 / 1.1, rel=1e-6)


def test_wind_from_behind_leaves_less_to_push_against():
    still, behind = (force_velocity(9.0, 1.1, 30.0, 75.0, 1.80, Air(wind_m_s=w)) for w in (0.0, 2.0))
    assert behind.v0 < still.v0


@pytest.mark.parametrize(
    ("filmed", "mass", "stature", "word"),
    [(12.0, 75.0, 1.8, "20 m"), (30.0, None, 1.8, "mass"), (30.0, 75.0, None, "stature")],
)
def test_force_is_not_given_where_it_cannot_be(filmed, mass, stature, word):
    found = force_velocity(9.0, 1.1, filmed, mass, stature)
    assert isinstance(found, NoValue)
    assert word in found.reason
