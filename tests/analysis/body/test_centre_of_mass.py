"""What a partial body costs, and how the points' shares come out."""

import math

import numpy as np
import pytest

from analysis.body.centre_of_mass import centre_of_mass
from analysis.body.mass_models import MassModel
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import read_truth, truth_of
from tests.analysis.reading.runs import SAMPLES

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


def test_a_missing_forearm_counts_at_its_elbow_and_costs_its_mass_times_how_far_it_may_be():
    # de Leva 1996, table 4, men: upper arm 2.71 % with its centre 57.72 % from the shoulder, forearm 1.62 %,
    # hand 0.61 %, of 100.00 %; forearm and hand of one arm lie off together
    names = [n for n in POINT_NAMES if n != "left_wrist"]
    partial = centre_of_mass(MassModel.DE_LEVA_MALE, names)
    assert partial.missing == ("left forearm", "left hand")
    assert partial.mass == pytest.approx(1 - 0.0162 - 0.0061)
    assert math.fsum(partial.weights.values()) == pytest.approx(1.0)
    assert partial.weights["left_elbow"] == pytest.approx(0.0271 * 0.5772 + 0.0162 + 0.0061)
    assert partial.u_m == pytest.approx(0.0162 * 0.13 + 0.0061 * 0.28)


def test_parts_of_two_limbs_lie_off_by_themselves():
    names = [n for n in POINT_NAMES if not n.endswith("_wrist")]
    one = centre_of_mass(MassModel.DE_LEVA_MALE, [*names, "right_wrist"])
    both = centre_of_mass(MassModel.DE_LEVA_MALE, names)
    assert both.u_m == pytest.approx(math.sqrt(2) * one.u_m)


def _without(*parts, side=""):
    return [n for n in POINT_NAMES if not (n.startswith(side) and n.split("_", 1)[-1] in parts)]


LEAST = ["right_shoulder", *LEGS]
KEPT = {
    "trunk and legs": LEAST,
    "both shoulders and legs": ["left_shoulder", *LEAST],
    "no head": _without("head", "neck"),
    "no vertex": _without("head"),
    "no arms": _without("elbow", "wrist"),
    "no feet": _without("heel", "toe"),
    "no far shank": _without("ankle", "heel", "toe", side="left_"),
    "near side": [n for n in POINT_NAMES if not n.startswith("left_")],
    "neck for shoulders": [*LEGS, "neck"],
}


@pytest.fixture(scope="module")
def bodies():
    """Points of rendered runs, from rest through full strides, (n, 2) in m by name; near is right."""
    found = []
    for truth in [read_truth(SAMPLES, name) for name in ("wing_day1", "wing_day2")] + [
        truth_of(Film(drawn(seed))) for seed in (900, 902, 904)
    ]:
        assert truth.numbers["near_side"] == "right"
        metres = truth.arrays["metres"][::6, :, :2]
        found.append({str(n): metres[:, i] for i, n in enumerate(truth.arrays["names"])})
    return {name: np.concatenate([body[name] for body in found]) for name in POINT_NAMES}


@pytest.mark.parametrize("model", MassModel)
@pytest.mark.parametrize("what", KEPT)
def test_the_interval_of_a_partial_body_holds_the_whole_one_s_centre(bodies, model, what):
    """Whole bodies of a renderer that shares no code with this; with the mass of what is missing shared out
    over all the rest, height was held in 0 to 1 % with trunk and legs, in none without feet.
    """
    found = centre_of_mass(model, KEPT[what])
    if isinstance(found, NoValue):
        assert (model, what) == (MassModel.WINTER, "neck for shoulders")
        return
    off = found.of(bodies) - centre_of_mass(model, POINT_NAMES).of(bodies)
    assert (np.abs(off) <= 1.96 * found.u_m + 1e-9).mean() > 0.95
    assert found.u_m < 0.07


def test_trunk_and_legs_tell_the_height_of_the_centre_within_two_centimetres(bodies):
    for model in MassModel:
        off = centre_of_mass(model, LEAST).of(bodies) - centre_of_mass(model, POINT_NAMES).of(bodies)
        assert np.sqrt(np.mean(off[:, 1] ** 2)) < 0.01
        assert np.sqrt(np.mean(off[:, 0] ** 2)) < 0.02


def test_the_neck_serves_where_no_shoulder_is_placed():
    found = centre_of_mass(MassModel.DE_LEVA_MALE, [*LEGS, "neck"])
    # de Leva 1996: trunk from cervicale to mid-hip, 51.38 %, mass 43.46 %; head and arms missing
    assert "trunk" not in found.missing
    own = 0.4346 * (1 - 0.5138)
    # ... which go on above the neck's own share: a head of 6.94 %, arms half-way down the trunk
    assert own + 0.0694 < found.weights["neck"] < own + 0.0694 * 1.25 + 2 * 0.0494


def test_one_shoulder_stands_for_the_middle_of_both():
    both = centre_of_mass(MassModel.WINTER, POINT_NAMES)
    one = centre_of_mass(MassModel.WINTER, [n for n in POINT_NAMES if n != "left_shoulder"])
    assert one.missing == ("left upper arm",)
    # Winter: trunk, head and neck 57.8 % of the body, 66 % from the hip
    assert one.weights["right_shoulder"] > both.weights["right_shoulder"] + 0.578 * 0.66 * 0.49


@pytest.mark.parametrize("names", [[], ["head"], LEGS, ["left_hip", "neck", "head"]])
def test_too_little_of_a_body_is_said(names):
    found = centre_of_mass(MassModel.DE_LEVA_FEMALE, names)
    assert isinstance(found, NoValue)
    assert "Too few body points" in found.reason
