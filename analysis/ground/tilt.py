"""How the camera was held: rolled about its axis, tilted up or down."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import Camera
from analysis.ground.carried import Number, combine, normal
from analysis.ground.homography import Homography, inverse
from analysis.ground.line_map import VERTICAL_U_RAD, LineMap
from analysis.values.estimate import NoValue
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

USUAL_TILT_DEG = 3.0
"""How far up or down a camera looks that nobody levelled, standard uncertainty, deg (own assumption)."""
_STEP = 0.1
"""Step of a difference, in standard uncertainties."""


def roll_and_tilt(
    plane: Homography | LineMap, columns: Floats, camera: Camera, centre: Floats
) -> tuple[Number, Number]:
    """How far the level rises towards the picture's right, and how far the camera looks up, deg.

    From the plane's vertical where four marks give a plane. Else the roll comes from the marked line, taken
    as level, its vanishing point found by the marks' spacing, and the tilt is not told.
    """
    moved = np.concatenate([plane.free[None], plane.free + _STEP * columns, plane.free - _STEP * columns])
    if isinstance(plane, LineMap):
        turn = abs(float(plane.free[4])) * camera.focal_px
        unknown = math.hypot(USUAL_TILT_DEG * turn, math.degrees(VERTICAL_U_RAD) if plane.upright else 0.0)
        return _carried(_line_rolls(plane, moved), unknown), NoValue(
            tr("Set four marks with no three in a line, at two heights, to see the camera's tilt.")
        )
    up = _up(plane, moved, centre, camera.focal_px)
    far, near = (
        _up(plane, plane.free[None], centre, camera.focal_px * (1.0 + way * camera.focal_share))[0, 2]
        for way in (0.5, -0.5)
    )
    unknown = math.degrees(abs(float(far - near)))
    tilts = np.degrees(np.arcsin(np.clip(up[:, 2], -1.0, 1.0)))
    return _carried(np.degrees(np.arctan2(-up[:, 0], -up[:, 1])), 0.0), _carried(tilts, unknown)


def _carried(angles: Floats, unknown: float) -> Number:
    """The first angle; how far it moves up and down each column; and what else is unknown, deg."""
    half = (len(angles) - 1) // 2
    moves = (angles[1 : 1 + half] - angles[1 + half :]) / (2 * _STEP)
    u = math.sqrt(float(moves @ moves) + unknown * unknown)
    return combine(float(angles[0]), {normal(u): 1.0} if u > 0 else {})


def _up(plane: Homography, free: Floats, centre: Floats, focal: float) -> Floats:
    """The vertical of the plane as the camera sees it, x right, y down, z away, length 1, (n, 3)."""
    elements = np.concatenate([free, np.ones((len(free), 1))], axis=1).reshape(-1, 3, 3)
    shift = np.array([[1.0, 0.0, -centre[0]], [0.0, 1.0, -centre[1]], [0.0, 0.0, 1.0]])
    columns = shift @ plane.to_pixels @ elements @ plane.from_metres
    middle = inverse(columns[0]) @ np.array([0.0, 0.0, 1.0])
    facing = float(columns[0, 2] @ (middle / middle[2]))
    up = columns[:, :, 1] / np.array([focal, focal, 1.0]) * math.copysign(1.0, facing)
    out: Floats = up / np.linalg.norm(up, axis=1, keepdims=True)
    return out


def _line_rolls(plane: LineMap, free: Floats) -> Floats:
    angle, offset, c = free[:, 0], free[:, 1], free[:, 4]
    if plane.upright:
        out: Floats = np.degrees(np.arctan2(-np.cos(angle), -np.sin(angle)))
        return out
    rise = -np.degrees(angle - c * offset)
    level: Floats = (rise + 90.0) % 180.0 - 90.0
    return level
