"""What a partial body costs, and how the points' shares come out."""

import math

import numpy as np
import pytest

from analysis.body.centre_of_mass import SPREAD_M, centre_of_mass
from analysis.body.mass_models import MassModel
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES

LEGS = [n for n in POINT_NAMES if n.split("_")[-1] in ("hip", "knee", "ankle", "heel", "toe")]


@pytest.mark.parametrize("model", MassModel)
def test_shares_of_a_whole_body_sum_to_one_and_nothing_is_missing(model):
    whole = centre_of_mass(model, POINT_NAMES)
    assert math.fsum(whole.weights.values()) == pytest.approx(1.0, abs=1e-12)
    assert not whole.partial
    assert whole.u_m == 0.0


@pytest.mark.parametrize("model", MassModel)
def test_a_body_moved_as_one_moves_its_centre_as_much(model):
    rng = np.random.default_rng(3)
    points = {n: rng.normal(size=(5, 2)) for n in POINT_NAMES}
    moved = {n: p + np.array([0.3, -0.1]) for n, p in points.items()}
    whole = centre_of_mass(model, POINT_NAMES)
    assert np.allclose(whole.of(moved) - whole.of(points), [0.3, -0.1])


def test_a_missing_arm_is_named_shared_out_and_costs_its_mass_times_the_spread():
    # de Leva 1996, table 4, men: forearm 1.62 %, hand 0.61 % of 100.00 %
    names = [n for n in POINT_NAMES if n != "left_wrist"]
    partial = centre_of_mass(MassModel.DE_LEVA_MALE, names)
    assert partial.missing == ("left forearm", "left hand")
    assert partial.mass == pytest.approx(1 - 0.0162 - 0.0061)
    assert math.fsum(partial.weights.values()) == pytest.approx(1.0)
    assert partial.u_m == pytest.approx(SPREAD_M * math.hypot(0.0162, 0.0061))


def test_the_neck_serves_where_no_shoulder_is_placed():
    found = centre_of_mass(MassModel.DE_LEVA_MALE, [*LEGS, "neck"])
    # de Leva 1996: trunk from cervicale to mid-hip, 51.38 %, mass 43.46 %; head and arms missing
    assert "trunk" not in found.missing
    assert found.weights["neck"] * found.mass == pytest.approx(0.4346 * (1 - 0.5138))


def test_one_shoulder_stands_for_the_middle_of_both():
    both = centre_of_mass(MassModel.WINTER, POINT_NAMES)
    one = centre_of_mass(MassModel.WINTER, [n for n in POINT_NAMES if n != "left_shoulder"])
    assert one.missing == ("left upper arm",)
    # Winter: trunk, head and neck 57.8 % of the body, 66 % from the hip
    assert one.weights["right_shoulder"] * one.mass > both.weights["right_shoulder"] + 0.578 * 0.66 * 0.49


@pytest.mark.parametrize("names", [[], ["head"], LEGS, ["left_hip", "neck", "head"]])
def test_too_little_of_a_body_is_said(names):
    found = centre_of_mass(MassModel.DE_LEVA_FEMALE, names)
    assert isinstance(found, NoValue)
    assert "Too few body points" in found.reason
