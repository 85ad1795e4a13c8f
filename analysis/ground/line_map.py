"""The map along the running line: one scale from two marks, a projective map from three or more."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from analysis.ground.homography import SMALL, AnyFloats, inverse
from analysis.values.errors import MarkError
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

TURN_U_RAD = math.radians(2.0)
"""How far a camera set up square-on by eye is turned from it, standard uncertainty (own assumption)."""
VERTICAL_U_RAD = math.radians(1.0)
"""How far the vertical leans from the line's normal in the picture, standard uncertainty (own assumption)."""


@dataclass(frozen=True, eq=False)
class LineMap:
    """``along = (a s + b) / (c s + 1)``, ``s`` in pixels along the marked line from the picture's centre.

    ``free``, shape (7,), with ``covariance`` (7, 7): angle of the line in rad, its distance from the centre
    in px, a, b, c, lean of the vertical in rad, and what is known of the camera: of a level line its focal
    length in px, of an upright one, as two marks above each other make it, how the scale changes beside it,
    per px.

    A camera that is turned by psi from square-on sees a level line with ``c = -tan(psi) / f``, and what
    stands upright on it at the scale ``z / f`` of its depth: the scale along the line times
    ``cos(psi) (1 + c s)``. The line itself rises against the horizon by ``c`` times its distance from the
    centre; what is upright is square to the horizon, not to the line (pinhole camera, held level).
    ``centre``: of the picture, px. ``origin``, ``forward``: a
    point of the line and its direction, m. ``up``: -1 for a run to the right of the picture, +1 for one to
    the left (the picture's v points down). ``residuals``: mark minus map in pixels, shape (marks, 2): along
    the line and across it.
    """

    free: Floats
    covariance: Floats
    centre: Floats
    origin: Floats
    forward: Floats
    up: float
    residuals: Floats

    @property
    def upright(self) -> bool:
        """Whether the marks stand above each other rather than along the run."""
        return abs(float(self.forward[0])) < 0.5

    def seen_by(self, focal_px: float, focal_share: float) -> LineMap:
        """The same map, seen by a camera of this focal length, known to this share of it."""
        if self.upright:
            return self
        free, covariance = self.free.copy(), self.covariance.copy()
        free[6], covariance[6, 6] = focal_px, (focal_px * focal_share) ** 2
        return replace(self, free=free, covariance=covariance)

    def metres(self, pixels: Floats) -> Floats:
        """Places, m, shape (n, 2), of pixels, shape (n, 2)."""
        return self.moved_metres(pixels, self.free)

    def changes(self, columns: Floats) -> Floats:
        """The free numbers moved a little up and down each column, shape (2, k, 7)."""
        out: Floats = self.free + SMALL * np.array([columns, -columns])
        return out

    def small_moves(self, pixels: Floats, changes: Floats, shares: Floats, out: AnyFloats) -> None:
        """How places move with each of the columns that ``changes`` belong to, per unit of it: these
        ``shares`` (n,) of it into ``out``, (2, k, n).
        """
        up, down = self.moved_metres(pixels, changes)
        np.multiply(((up - down) / (2 * SMALL)).transpose(2, 0, 1), shares, out=out)

    def pixel_moves(self, pixels: Floats) -> Floats:
        """How places move from half a pixel before to half a pixel after, along u and along v, (2, n, 2)."""
        steps = np.array([[0.5, 0.0], [0.0, 0.5], [-0.5, 0.0], [0.0, -0.5]])
        moved = self.metres((pixels[None] + steps[:, None]).reshape(-1, 2)).reshape(4, -1, 2)
        out: Floats = moved[:2] - moved[2:]
        return out

    def moved_metres(self, pixels: Floats, changes: Floats) -> Floats:
        """Places under every one of ``changes``, shape (..., 7): shape (..., n, 2)."""
        angle, offset, a, b, c, lean, seen = (column[..., None] for column in np.moveaxis(changes, -1, 0))
        s, across = _along_across(pixels - self.centre, angle)
        off = across - offset
        if self.upright:
            beside = 1.0 + seen * across
            below = c * s + 1.0
            height = self.up * off * (a - b * c) / (below * below) / beside
            along = b + ((a * s + b) / below - b) * (1.0 + seen * offset) / beside - lean * height
        else:
            under = s - off * c * offset  # the place on the line under a point
            below = c * under + 1.0
            height = self.up * off * (a - b * c) / below / np.sqrt(1.0 + (c * seen) ** 2)
            along = (a * under + b) / below - lean * height
        normal = np.array([-self.forward[1], self.forward[0]])
        out: Floats = self.origin + along[..., None] * self.forward + height[..., None] * normal
        return out


def fit_line_map(
    metres: Floats,
    pixels: Floats,
    error_px: Floats,
    centre: Floats,
    focal_px: float,
    to_the_left: bool,
    along_px: Floats | None = None,
) -> LineMap:
    """The map through two or more marks on one line.

    ``metres``, ``pixels``: shape (n, 2), on a line. ``error_px``: standard uncertainty of each mark, shape
    (n,); ``along_px``: along the line, where that is another. With two places the camera is taken as
    square-on (c = 0), good to ``TURN_U_RAD``, which makes the error grow away from the marks. With three or
    more c is measured: exact for three, least squares on the distances in the picture for more. Raises
    MarkError where the marks don't determine the map.
    """
    origin, forward = _world_line(metres)
    along = (metres - origin) @ forward
    angle, offset, line_covariance = _picture_line(pixels - centre, error_px, along)
    s, across = _along_across(pixels - centre, angle)
    two = len(np.unique(np.round(along, 6))) < 3
    prior = math.tan(TURN_U_RAD) / focal_px if two else None
    coefficients, covariance = _fit_along(along, s, error_px if along_px is None else along_px, prior)
    leftwards = math.cos(angle) < 0 if abs(forward[0]) > 0.5 else to_the_left
    up = 1.0 if leftwards else -1.0
    full = np.zeros((7, 7))
    full[:2, :2] = line_covariance
    full[2:5, 2:5] = covariance
    full[5, 5] = VERTICAL_U_RAD**2
    a, b, c = coefficients
    residuals = np.stack([s - (along - b) / (a - c * along), across - offset], axis=1)
    upright = abs(forward[0]) < 0.5
    if upright:
        full[6, 6] = (math.tan(TURN_U_RAD) / focal_px) ** 2
    free = np.array([angle, offset, a, b, c, 0.0, 0.0 if upright else focal_px])
    return LineMap(free, full, centre, origin, forward, up, residuals)


def _along_across(centred: Floats, angle: Floats | float) -> tuple[Floats, Floats]:
    cos, sin = np.cos(angle), np.sin(angle)
    return centred[:, 0] * cos + centred[:, 1] * sin, -centred[:, 0] * sin + centred[:, 1] * cos


def _world_line(metres: Floats) -> tuple[Floats, Floats]:
    first, last = metres[np.argmin(metres @ [1.0, 1e-3])], metres[np.argmax(metres @ [1.0, 1e-3])]
    length = math.dist(first, last)
    if length < 1e-6:
        raise MarkError(tr("The marks stand at one place. Set a second one at another distance."))
    forward: Floats = (last - first) / length
    return first, forward


def _picture_line(centred: Floats, error_px: Floats, along: Floats) -> tuple[float, float, Floats]:
    weight = 1.0 / error_px**2
    middle = np.average(centred, axis=0, weights=weight)
    spread = centred - middle
    direction = np.linalg.eigh((spread * weight[:, None]).T @ spread)[1][:, 1]
    if ((spread @ direction) * weight) @ (along - np.average(along, weights=weight)) < 0:
        direction = -direction
    angle = math.atan2(direction[1], direction[0])
    s, across = _along_across(centred, angle)
    design = np.stack([s, np.ones_like(s)], axis=1) / error_px[:, None]
    return angle, float(np.average(across, weights=weight)), inverse(design.T @ design)


def _fit_along(along: Floats, s: Floats, error_px: Floats, prior: float | None) -> tuple[Floats, Floats]:
    free: Floats
    if prior is None:
        design = np.stack([s, np.ones_like(s), -along * s], axis=1)
        scaling = _above_zero(np.abs(design).max(axis=0))
        free = np.linalg.lstsq(design / scaling, along, rcond=None)[0] / scaling
    else:
        free = np.append(np.polyfit(s, along, 1), 0.0)
    information = np.eye(3)
    for _ in range(20):
        a, b, c = free
        below = a - c * along
        if np.any(below * a <= 0) or a <= b * c:
            raise MarkError(
                tr("The marks along the line can't be so: check their distances and their order.")
            )
        miss = s - (along - b) / below
        jacobian = np.stack([-(along - b) / below**2, -1.0 / below, (along - b) * along / below**2], axis=1)
        weighted, short = jacobian / error_px[:, None], miss / error_px
        if prior is not None:
            weighted = np.vstack([weighted, [0.0, 0.0, 1.0 / prior]])
            short = np.concatenate([short, [-c / prior]])
        size = _above_zero(np.linalg.norm(weighted, axis=0))
        information = weighted.T @ weighted
        step = np.linalg.lstsq(weighted / size, short, rcond=None)[0] / size
        free = np.asarray(free + step, dtype=np.float64)
        if float(np.max(np.abs(step * size))) < 1e-10:
            break
    size = _above_zero(np.sqrt(np.diag(information)))
    covariance: Floats = np.linalg.inv(information / np.outer(size, size)) / np.outer(size, size)
    return free, covariance


def _above_zero(sizes: Floats) -> Floats:
    out: Floats = np.where(sizes > 0, sizes, 1.0)
    return out
