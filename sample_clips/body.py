"""The body: segment lengths, and masses and mass centres from de Leva 1996, table 4, male."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_clips.scenario import SIDES

Array = NDArray[np.float64]

# De Leva's mean male is 1.741 m tall; lengths are scaled by stature.
MEAN_STATURE_M = 1.741

JOINTS = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
POINT_NAMES: tuple[str, ...] = ("head", "neck", "mid_back", *(f"{s}_{j}" for s in SIDES for j in JOINTS))

# (from, to, mass in % of the body, mass centre in % of the length from the first end)
TRUNK = ("mid_shoulder", "mid_hip", 43.46, 43.10)
HEAD = ("head", "neck", 6.94, 50.02)
LIMBS: tuple[tuple[str, str, float, float], ...] = (
    ("shoulder", "elbow", 2.71, 57.72),
    ("elbow", "wrist", 1.62, 45.74),
    ("wrist", "knuckle", 0.61, 79.00),
    ("hip", "knee", 14.16, 40.95),
    ("knee", "ankle", 4.33, 43.95),
    ("heel", "toe", 1.37, 44.15),
)
MASS_SUM_PERCENT = TRUNK[2] + HEAD[2] + 2.0 * sum(limb[2] for limb in LIMBS)

# Share of the way from heel to tip at which the ball of the foot lies.
BALL_SHARE = 0.72


@dataclass(frozen=True)
class Lengths:
    """Segment lengths and joint offsets in m. Lateral offsets z are half widths."""

    thigh: float
    shank: float
    foot: float
    ankle_forward: float
    ankle_up: float
    sole: float
    lower_spine: float
    upper_spine: float
    neck_above_shoulders: float
    shoulders_forward: float
    head: float
    upper_arm: float
    forearm: float
    hand: float
    hip_z: float = 0.09
    knee_z: float = 0.095
    foot_z: float = 0.10
    shoulder_z: float = 0.18
    elbow_z: float = 0.235

    @property
    def rear_foot(self) -> float:
        """Heel to ball of the foot."""
        return self.foot * BALL_SHARE

    @property
    def toes(self) -> float:
        """Ball of the foot to toe tip."""
        return self.foot * (1.0 - BALL_SHARE)


def lengths_of(stature_m: float) -> Lengths:
    """Segment lengths of a man of this stature (m), shoes on."""
    k = stature_m / MEAN_STATURE_M
    return Lengths(
        thigh=0.4222 * k,
        shank=0.4403 * k,
        foot=0.2680 * k,
        ankle_forward=0.062 * k,
        ankle_up=0.066 * k,
        sole=0.026,
        lower_spine=0.290 * k,
        upper_spine=0.313 * k,
        neck_above_shoulders=0.088 * k,
        shoulders_forward=0.022 * k,
        head=0.238 * k,
        upper_arm=0.2817 * k,
        forearm=0.2689 * k,
        hand=0.0862 * k,
    )


def centre_of_mass(points: dict[str, Array]) -> Array:
    """Centre of mass of the whole body.

    `points` maps names (those of `POINT_NAMES` and `left_knuckle`, `right_knuckle`) to arrays of
    shape (n, 3) in m; the result has the same shape. De Leva 1996, table 4, male, 14 segments.
    """
    middle = {f"mid_{j}": 0.5 * (points[f"left_{j}"] + points[f"right_{j}"]) for j in ("hip", "shoulder")}
    everything = {**points, **middle}
    segments = [TRUNK, HEAD]
    for side in SIDES:
        segments += [(f"{side}_{a}", f"{side}_{b}", mass, share) for a, b, mass, share in LIMBS]
    total = np.zeros_like(points["head"])
    for first, second, mass, share in segments:
        a, b = everything[first], everything[second]
        total = total + mass * (a + share / 100.0 * (b - a))
    return np.asarray(total / MASS_SUM_PERCENT)
