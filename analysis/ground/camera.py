"""Where the camera stood: its distance from the running line and its place along it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from analysis.ground.homography import Homography, apply_map, inverse
from analysis.ground.line_map import LineMap

Floats = npt.NDArray[np.float64]

TYPICAL_FOCAL = 0.85
"""Focal length of a phone's main camera as a share of the picture's longer side (own assumption)."""
TYPICAL_FOCAL_U = 0.25
"""Standard uncertainty of that, as a share of it: phones, steadying crops and zoom differ (own
assumption)."""
MEASURED_U = 0.03
"""Standard uncertainty of a paced or taped distance, as a share of it (own assumption)."""


class DistanceFrom(StrEnum):
    """How the camera's distance is known."""

    COACH = "coach"
    MARKS = "marks"
    TYPICAL = "typical"


@dataclass(frozen=True)
class Camera:
    """``distance_m`` from the running line with its standard uncertainty; ``x_m``: its place along the
    line; ``focal_px`` of the lens, ``focal_share``: its standard uncertainty as a share of it.
    """

    distance_m: float
    distance_u: float
    x_m: float
    source: DistanceFrom
    focal_px: float
    focal_share: float


def typical_focal_px(width: int, height: int) -> float:
    """Focal length in pixels to expect of a phone."""
    return TYPICAL_FOCAL * max(width, height)


def read_camera(plane: Homography | LineMap, width: int, height: int, measured_m: float | None) -> Camera:
    """The camera behind a map, taken as square pixels and a centred principal point.

    The map gives the distance up to the focal length. That follows from a measured distance; else from the
    plane's own perspective where the marks pin it down; else it is a phone's typical one, with a wide
    uncertainty.
    """
    centre = np.array([(width - 1) / 2, (height - 1) / 2])

    def stand(focal: float) -> tuple[float, float]:
        if isinstance(plane, Homography):
            return _stand_of_plane(plane, centre, focal)
        return _stand_of_line(plane, focal)

    focal = typical_focal_px(width, height)
    if measured_m is not None and math.isfinite(measured_m) and measured_m > 0:
        x, fitting = _x_at(stand, focal, measured_m)
        sure = MEASURED_U if fitting != focal else TYPICAL_FOCAL_U
        return Camera(measured_m, MEASURED_U * measured_m, x, DistanceFrom.COACH, fitting, sure)
    share, source = TYPICAL_FOCAL_U, DistanceFrom.TYPICAL
    if isinstance(plane, Homography):
        own = _focal_of_plane(plane, centre)
        if own is not None and own[1] < share:
            (focal, share), source = own, DistanceFrom.MARKS
    distance, x = stand(focal)
    return Camera(distance, share * distance, x, source, focal, share)


def _x_at(
    stand: Callable[[float], tuple[float, float]], focal: float, measured_m: float
) -> tuple[float, float]:
    """Place along the line of the camera at a measured distance, and the focal length that gives it; both of
    the usual phone where none does.
    """
    usual = focal
    for _ in range(8):
        focal = float(np.clip(focal * measured_m / max(1e-9, stand(focal)[0]), usual / 50, usual * 50))
    distance, x = stand(focal)
    return (x, focal) if abs(distance - measured_m) < 0.05 * measured_m else (stand(usual)[1], usual)


def _stand_of_line(line: LineMap, focal: float) -> tuple[float, float]:
    """Distance and place along the line: a turn by psi gives ``c = -tan(psi) / f``."""
    a, b, c = line.free[2:5]
    tangent = -c * focal
    distance = abs(a - b * c) * focal / (1.0 + tangent * tangent)
    if line.upright:  # a vertical pair of marks: nothing is known of the turn
        return distance, float(line.metres(line.centre[None])[0, 0])
    place = line.origin + line.forward * (b - distance * tangent)
    return distance, float(place[0])


def _stand_of_plane(plane: Homography, centre: Floats, focal: float) -> tuple[float, float]:
    """Distance and place along the line from the pose that the homography means at this focal length."""
    columns = _centred(plane.matrix(), centre)
    columns[:2] /= focal
    middle = apply_map(inverse(plane.matrix()), centre[None])[0]
    if columns[2] @ [middle[0], middle[1], 1.0] < 0:
        columns = -columns
    columns *= 2.0 / (np.linalg.norm(columns[:, 0]) + np.linalg.norm(columns[:, 1]))
    turned = np.stack([columns[:, 0], columns[:, 1], np.cross(columns[:, 0], columns[:, 1])], axis=1)
    left, _, right = np.linalg.svd(turned)
    place = -(left @ right).T @ columns[:, 2]
    return abs(float(place[2])), float(place[0])


def _focal_of_plane(plane: Homography, centre: Floats) -> tuple[float, float] | None:
    """Focal length in pixels and its relative standard uncertainty, from two sides of the plane being at
    right angles and equally scaled; None where the plane is seen too squarely to tell.
    """
    factor = np.linalg.cholesky(plane.covariance)
    best: tuple[float, float] | None = None
    for rule in (_right_angle, _equal_scale):
        square = rule(_centred(plane.matrix(), centre))
        changes = [rule(_centred(plane.matrix(plane.free + column), centre)) - square for column in factor.T]
        u = math.sqrt(sum(change * change for change in changes))
        if square > 0 and math.isfinite(u):
            found = (math.sqrt(square), u / square / 2)
            best = found if best is None or found[1] < best[1] else best
    return best


def _centred(matrix: Floats, centre: Floats) -> Floats:
    shift = np.array([[1.0, 0, -centre[0]], [0, 1.0, -centre[1]], [0, 0, 1.0]])
    out: Floats = shift @ matrix
    return out


def _right_angle(m: Floats) -> float:
    below = m[2, 0] * m[2, 1]
    return float(-(m[0, 0] * m[0, 1] + m[1, 0] * m[1, 1]) / below) if below else math.nan


def _equal_scale(m: Floats) -> float:
    below = m[2, 0] ** 2 - m[2, 1] ** 2
    return float((m[0, 1] ** 2 + m[1, 1] ** 2 - m[0, 0] ** 2 - m[1, 0] ** 2) / below) if below else math.nan
