"""Segment tables and centres of mass against what was published."""

import csv
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.body.centre_of_mass import centre_of_mass, weighted
from analysis.body.mass_models import (
    DE_LEVA_FEMALE,
    DE_LEVA_FEMALE_ELSE,
    DE_LEVA_MALE,
    DE_LEVA_MALE_ELSE,
    HEAD_OVER_NECK,
    HEAD_OVER_SHOULDERS,
    WINTER,
    MassModel,
    between,
    row,
    segments_of,
)

DATA = Path(__file__).parent / "data" / "segments"
ENDS = {
    "VERT": "vertex", "MIDG": "mid-gonion", "SUPR": "suprasternale", "XYPH": "xiphion", "OMPH": "omphalion",
    "MIDH": "mid-hip", "MIDS": "mid-shoulder", "CERV": "cervicale", "SJC": "shoulder", "EJC": "elbow",
    "WJC": "wrist", "HJC": "hip", "KJC": "knee", "AJC": "ankle", "MET3": "metacarpale 3", "HEEL": "heel",
    "TTIP": "toe tip", "STYL": "stylion", "DAC3": "dactylion 3", "LMAL": "lateral malleolus",
    "SPHY": "sphyrion",
}  # fmt: skip
WINTERS = {
    "hand": "Hand", "forearm": "Forearm", "upper arm": "Upper arm", "forearm and hand": "Forearm hand",
    "total arm": "Total arm", "foot": "Foot", "shank": "Leg", "thigh": "Thigh", "foot and leg": "Foot leg",
    "total leg": "Total leg", "head and neck": "Head neck", "thorax": "Thorax", "abdomen": "Abdomen",
    "pelvis": "Pelvis", "thorax and abdomen": "Thorax abdomen", "abdomen and pelvis": "Abdomen pelvis",
    "trunk": "Trunk", "trunk, head and neck": "Trunk head neck", "head, arms and trunk": "HAT",
}  # fmt: skip
PAIRED = ("upper arm", "forearm", "hand", "thigh", "shank", "foot")


def mass(rows, *names):
    return math.fsum(next(r.mass for r in rows if r.segment == n) for n in names)


def printed(name):
    """A table as others transcribed it (data/segments/README.md)."""
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    ("rows", "others", "who"),
    [(DE_LEVA_MALE, DE_LEVA_MALE_ELSE, "men"), (DE_LEVA_FEMALE, DE_LEVA_FEMALE_ELSE, "women")],
)
def test_every_figure_of_de_levas_table_4_to_the_last_digit(rows, others, who):
    table = {(ENDS[p["first"]], ENDS[p["second"]]): p for p in printed("de_leva.csv")}
    assert len(table) == len(rows) + len(others) == 21
    for own in (*rows, *others):
        there = table[own.first, own.second]
        assert (own.mass, own.centre) == (float(there[f"mass_{who}"]), float(there[f"centre_{who}"]))


def test_every_figure_of_winters_table_4_1_to_the_last_digit():
    table = {p["segment"]: p for p in printed("winter.csv")}
    assert {WINTERS[own.segment] for own in WINTER} == set(table)
    for own in WINTER:
        there = table[WINTERS[own.segment]]
        figures = (100 * float(there["mass"]), 100 * float(there["centre"]))
        assert (own.mass, own.centre) == pytest.approx(figures, abs=1e-9)


# de Leva P (1996), J Biomech 29:1223-1230, table 4: printed masses, men 100.00 in all, women 99.99
@pytest.mark.parametrize(
    ("rows", "total", "trunk"), [(DE_LEVA_MALE, 100.0, 43.46), (DE_LEVA_FEMALE, 99.99, 42.57)]
)
def test_de_levas_masses(rows, total, trunk):
    assert mass(rows, "head", "trunk") + 2 * mass(rows, *PAIRED) == pytest.approx(total, abs=1e-9)
    assert mass(rows, "upper trunk", "middle trunk", "lower trunk") == pytest.approx(trunk, abs=1e-9)


@pytest.mark.parametrize(
    ("rows", "others"), [(DE_LEVA_MALE, DE_LEVA_MALE_ELSE), (DE_LEVA_FEMALE, DE_LEVA_FEMALE_ELSE)]
)
def test_other_endpoints_hold_the_same_mass(rows, others):
    for other in others:
        assert other.mass == mass(rows, other.segment)


@pytest.mark.parametrize(
    ("model", "others", "neck_mm", "shoulders_mm", "head_mm"),
    [
        # de Leva 1996, table 4, mean lengths in mm (from memory): cervicale and mid-shoulder to mid-hip,
        # vertex to cervicale
        (MassModel.DE_LEVA_MALE, DE_LEVA_MALE_ELSE, 603.3, 515.5, 242.9),
        (MassModel.DE_LEVA_FEMALE, DE_LEVA_FEMALE_ELSE, 614.8, 497.9, 243.7),
    ],
)
def test_where_a_head_is_that_nobody_placed(model, others, neck_mm, shoulders_mm, head_mm):
    """The printed centres hold these lengths against each other: that of the trunk, told from the neck and
    told from the shoulders, is one place.
    """
    by_neck, by_shoulders = (
        row(others, "trunk", first, "mid-hip") for first in ("cervicale", "mid-shoulder")
    )
    heights = [
        (1 - by_neck.centre / 100) * neck_mm,
        (1 - by_shoulders.centre / 100) * shoulders_mm,
    ]
    assert heights[0] == pytest.approx(heights[1], abs=0.5)
    above = (1 - row(others, "head", "vertex", "cervicale").centre / 100) * head_mm
    assert HEAD_OVER_NECK[model] == pytest.approx(above / neck_mm, abs=5e-4)
    assert HEAD_OVER_SHOULDERS[model] == pytest.approx(
        (neck_mm - shoulders_mm + above) / shoulders_mm, abs=5e-4
    )


def test_winters_masses():
    # Winter DA (2009), table 4.1: sums within the table
    assert mass(WINTER, "head and neck", "trunk") + 2 * mass(WINTER, *PAIRED) == pytest.approx(100, abs=1e-9)
    assert mass(WINTER, "trunk, head and neck") + 2 * mass(WINTER, "total arm") == pytest.approx(
        mass(WINTER, "head, arms and trunk"), abs=1e-9
    )
    assert mass(WINTER, "thigh", "foot and leg") == pytest.approx(mass(WINTER, "total leg"), abs=1e-9)
    assert mass(WINTER, "thorax", "abdomen", "pelvis") == pytest.approx(mass(WINTER, "trunk"), abs=1e-9)


def test_winters_worked_example_of_a_leg():
    # Winter DA (2009), chapter 4, coordinates in cm; printed in m: foot (0.930, 0.062), leg (0.858, 0.359),
    # thigh (0.783, 0.764), lower limb (0.818, 0.584); exact to six digits by hand from the same inputs
    points = {
        "metatarsal": np.array([101.1, 1.3]),
        "ankle": np.array([84.9, 11.0]),
        "knee": np.array([86.4, 54.9]),
        "hip": np.array([72.1, 92.8]),
    }
    foot = between("foot", "ankle", "metatarsal", row(WINTER, "foot", "ankle", "metatarsal 2"))
    leg = between("leg", "knee", "ankle", row(WINTER, "shank", "knee", "ankle"))
    thigh = between("thigh", "hip", "knee", row(WINTER, "thigh", "hip", "knee"))
    for segments, exact in (
        ([foot], (93.0, 6.15)),
        ([leg], (85.7505, 35.8913)),
        ([thigh], (78.2919, 76.3893)),
        ([foot, leg, thigh], (81.770734, 58.366773)),
    ):
        assert weighted(segments, points).of(points) == pytest.approx(exact, abs=1e-6)


# A toe-off posture in m, and its centre of mass worked out from the printed tables with NumPy alone
FIGURE = {
    "head": (0.62, 1.60),
    "neck": (0.50, 1.38),
    "left_shoulder": (0.47, 1.33),
    "right_shoulder": (0.47, 1.33),
    "left_hip": (0.20, 0.90),
    "right_hip": (0.20, 0.90),
    "right_elbow": (0.30, 1.12),
    "left_elbow": (0.62, 1.06),
    "right_wrist": (0.48, 0.95),
    "left_wrist": (0.86, 1.10),
    "right_finger": (0.62, 0.89),
    "left_finger": (1.00, 1.16),
    "right_knee": (-0.10, 0.61),
    "left_knee": (0.58, 0.78),
    "right_ankle": (-0.38, 0.29),
    "left_ankle": (0.44, 0.40),
    "right_heel": (-0.47, 0.27),
    "left_heel": (0.37, 0.37),
    "right_toe": (-0.30, 0.08),
    "left_toe": (0.58, 0.29),
}
POINTS = {name: np.array(place) for name, place in FIGURE.items()}


@pytest.mark.parametrize(
    ("model", "others", "centre"),
    [
        (MassModel.DE_LEVA_MALE, DE_LEVA_MALE_ELSE, (0.319519, 0.997419)),
        (MassModel.DE_LEVA_FEMALE, DE_LEVA_FEMALE_ELSE, (0.319597, 1.001566)),
    ],
)
def test_whole_body_with_de_levas_tables(model, others, centre):
    """Vertex to C7, mid-shoulder to mid-hip, wrist to dactylion, knee to ankle centre."""
    of = row(others, "hand", "wrist", "dactylion 3")
    hands = {f"{s} hand": between(f"{s} hand", f"{s}_wrist", f"{s}_finger", of) for s in ("left", "right")}
    segments = [hands.get(s.name, s) for s in segments_of(model)]
    assert weighted(segments, POINTS).of(POINTS) == pytest.approx(centre, abs=1e-6)
    # without fingers the hand goes on in the forearm's line: a hand weighs 0.6 % of the body
    assert centre_of_mass(model, POINTS).of(POINTS) == pytest.approx(centre, abs=0.001)


def test_whole_body_with_winters_table():
    assert centre_of_mass(MassModel.WINTER, POINTS).of(POINTS) == pytest.approx(
        (0.331010, 1.019339), abs=1e-6
    )


def test_the_tables_differ_as_published():
    # de Leva against Winter: thigh +42 % (men), +48 % (women), trunk -13 %, -14 %
    for rows, thigh, trunk in ((DE_LEVA_MALE, 42, -13), (DE_LEVA_FEMALE, 48, -14)):
        assert 100 * (mass(rows, "thigh") / mass(WINTER, "thigh") - 1) == pytest.approx(thigh, abs=0.5)
        assert 100 * (mass(rows, "trunk") / mass(WINTER, "trunk") - 1) == pytest.approx(trunk, abs=0.6)


def test_a_wrong_last_digit_would_be_seen():
    rows = tuple(replace(r, mass=r.mass / 10) if r.segment == "head" else r for r in DE_LEVA_MALE)
    assert mass(rows, "head", "trunk") + 2 * mass(rows, *PAIRED) < 94
