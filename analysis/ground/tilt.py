"""How the camera was held: rolled about its axis, tilted up or down."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import Camera, centred
from analysis.ground.carried import Number, combine, normal
from analysis.ground.homography import Homography, apply_map, inverse
from analysis.ground.line_map import VERTICAL_U_RAD, LineMap
from analysis.values.estimate import NoValue
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

USUAL_TILT_DEG = 3.0
"""How far up or down a camera looks that nobody levelled, standard uncertainty, deg (own assumption)."""


def roll_deg(plane: Homography | LineMap, columns: Floats, camera: Camera, centre: Floats) -> Number:
    """How far the level rises towards the picture's right, deg; 0 for a camera held level.

    From the plane's vertical in the picture's middle where four marks give a plane; else from the marked
    line, taken as level, its vanishing point found by the marks' spacing.
    """
    if isinstance(plane, Homography):
        return _numeric(plane.free, columns, lambda free: _roll_of(_up(plane, free, centre, camera.focal_px)))
    turn = abs(float(plane.free[4])) * camera.focal_px
    unknown = math.hypot(USUAL_TILT_DEG * turn, math.degrees(VERTICAL_U_RAD) if _standing(plane) else 0.0)
    return _numeric(plane.free, columns, lambda free: _roll_of_line(plane, free)) + normal(unknown)


def tilt_deg(plane: Homography | LineMap, columns: Floats, camera: Camera, centre: Floats) -> Number:
    """How far the camera looks up (positive) or down, deg; it takes a plane of four marks to tell."""
    if not isinstance(plane, Homography):
        return NoValue(
            tr("Set four marks with no three in a line, at two heights, to see the camera's tilt.")
        )
    focal = camera.focal_px

    def tilt(free: Floats, of_focal: float = focal) -> float:
        return math.degrees(math.asin(float(np.clip(_up(plane, free, centre, of_focal)[2], -1.0, 1.0))))

    more, less = (tilt(plane.free, focal * (1.0 + way * camera.focal_share)) for way in (0.5, -0.5))
    return _numeric(plane.free, columns, tilt) + normal(abs(more - less))


def _numeric(free: Floats, columns: Floats, angle: Callable[[Floats], float]) -> Number:
    moves = [(angle(free + 0.1 * c) - angle(free - 0.1 * c)) / 0.2 for c in columns]
    return combine(angle(free), {normal(1.0): move for move in moves})


def _up(plane: Homography, free: Floats, centre: Floats, focal: float) -> Floats:
    """The vertical of the plane as the camera sees it, x right, y down, z away, length 1."""
    whole = plane.matrix(free)
    columns = centred(whole, centre)
    middle = apply_map(inverse(whole), centre[None])[0]
    up = columns[:, 1] / np.array([focal, focal, 1.0])
    if columns[2] @ np.array([middle[0], middle[1], 1.0]) < 0:
        up = -up
    out: Floats = up / np.linalg.norm(up)
    return out


def _roll_of(up: Floats) -> float:
    return math.degrees(math.atan2(-float(up[0]), -float(up[1])))


def _standing(plane: LineMap) -> bool:
    return abs(float(plane.forward[0])) < 0.5


def _roll_of_line(plane: LineMap, free: Floats) -> float:
    angle, offset, c = float(free[0]), float(free[1]), float(free[4])
    far = angle - c * offset
    if _standing(plane):
        return _roll_of(np.array([math.cos(angle), math.sin(angle)]))
    rise = -math.degrees(far)
    return (rise + 90.0) % 180.0 - 90.0
