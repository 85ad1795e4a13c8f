"""The map between the vertical plane of the run and the picture: a homography fitted to marks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analysis.values.errors import MarkError
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]
AnyFloats: TypeAlias = npt.NDArray[np.float64] | npt.NDArray[np.float32]


SMALL = 1e-2
"""Step of a difference, in standard uncertainties."""
AT_ONCE = 2000
"""Products over more points wake the threads of the algebra library, which then keep the processors busy for
longer than the product takes."""


@dataclass(frozen=True, eq=False)
class Homography:
    """``(x, y, 1) -> (u, v, 1)`` up to scale, in coordinates centred and scaled on the marks.

    ``free``: the eight free elements of the normalised matrix, shape (8,), the ninth being 1. ``covariance``:
    of these, shape (8, 8). ``from_metres``, ``to_pixels``: 3x3 similarities into and out of the normalised
    coordinates. ``residuals``: mark minus map in pixels, shape (marks, 2).
    """

    free: Floats
    covariance: Floats
    from_metres: Floats
    to_pixels: Floats
    residuals: Floats

    def matrix(self, free: Floats | None = None) -> Floats:
        """Metres to pixels, shape (3, 3)."""
        elements = np.ones(9)
        elements[:8] = self.free if free is None else free
        full: Floats = self.to_pixels @ elements.reshape(3, 3) @ self.from_metres
        return full

    @cached_property
    def backwards(self) -> Floats:
        """Pixels to metres, shape (3, 3)."""
        return inverse(self.matrix())

    def metres(self, pixels: Floats) -> Floats:
        """Places in the plane, m, shape (n, 2), of pixels, shape (n, 2)."""
        return apply_map(self.backwards, pixels)

    def changes(self, columns: Floats) -> Floats:
        """The map pixels to metres moved a little up and down each column of free elements, shape (2, k, 3,
        3).
        """
        return inverse(
            np.array([[self.matrix(self.free + way * c) for c in columns] for way in (SMALL, -SMALL)])
        )

    def small_moves(self, pixels: Floats, changes: Floats, shares: Floats, out: AnyFloats) -> None:
        """How places move with each of the columns that ``changes`` belong to, per unit of it: these
        ``shares`` (n,) of it into ``out``, (2, k, n).
        """
        slopes = ((changes[0] - changes[1]) / (2 * SMALL)).astype(out.dtype)
        rates = [np.concatenate([slopes[:, axis], slopes[:, 2]], axis=1) for axis in (0, 1)]
        for begin in range(0, len(pixels), AT_ONCE):
            piece = slice(begin, begin + AT_ONCE)
            u, v = np.ascontiguousarray(pixels[piece].T)
            *above, below = (row[0] * u + row[1] * v + row[2] for row in self.backwards)
            share = shares[piece] / below
            both = np.empty((6, len(u)), out.dtype)
            both[2] = share
            for row, part in enumerate((u, v)):
                np.multiply(part, share, out=both[row])
            for axis in (0, 1):  # one product for each: d(a / b) = (da - a / b db) / b
                np.multiply(both[:3], above[axis] / -below, out=both[3:])
                np.matmul(rates[axis], both, out=out[axis, :, piece])

    def pixel_moves(self, pixels: Floats) -> Floats:
        """How places move from half a pixel before to half a pixel after, along u and along v, (2, n, 2); in
        memory the pixels lie next to each other.
        """
        u, v = np.ascontiguousarray(pixels.T)
        *above, below = (row[0] * u + row[1] * v + row[2] for row in self.backwards)
        out = np.empty((2, 2, len(pixels)))
        square = below * below
        for way, half in enumerate(self.backwards[:, :2].T / 2):
            by = 2 / (square - half[2] ** 2)
            for axis in (0, 1):
                np.multiply(half[axis] * below - above[axis] * half[2], by, out=out[way, axis])
        return out.transpose(0, 2, 1)


def inverse(matrix: Floats) -> Floats:
    """The map the other way."""
    out: Floats = np.linalg.inv(matrix).astype(np.float64)
    return out


def apply_map(matrix: Floats, places: Floats) -> Floats:
    """A 3x3 projective map of places, shape (n, 2)."""
    mapped = places @ matrix[:, :2].T + matrix[:, 2]
    out = np.empty((len(places), 2))
    for axis in (0, 1):
        np.divide(mapped[:, axis], mapped[:, 2], out=out[:, axis])
    return out


def fit_homography(metres: Floats, pixels: Floats, error_px: Floats) -> Homography:
    """The homography that fits four or more marks best, each weighted by its own error.

    ``metres``, ``pixels``: shape (n, 2). ``error_px``: standard uncertainty of each mark along each axis,
    (n,), or (n, 2) along u and v. Normalised direct linear transformation, then Gauss-Newton on the distances
    in the picture, in float64 (Hartley R, Zisserman A (2003) Multiple View Geometry, chapter 4; from memory).
    Raises MarkError where the marks don't determine the plane.
    """
    from_metres, from_pixels = _normaliser(metres), _normaliser(pixels)
    flat, seen = apply_map(from_metres, metres), apply_map(from_pixels, pixels)
    error = np.broadcast_to(error_px.T, (2, len(metres))).T * from_pixels[0, 0]
    free = _direct(flat, seen)
    for _ in range(20):
        jacobian, predicted = _jacobian(flat, free)
        weighted = jacobian / error.ravel()[:, None]
        miss = ((seen - predicted) / error).ravel()
        step, _, rank, _ = np.linalg.lstsq(weighted, miss, rcond=1e-12)
        if rank < 8:
            raise MarkError(
                tr(
                    "No upright plane goes through the marks as they are: check their distances, heights "
                    "and order. Four must stand with no three in a line."
                )
            )
        free = free + step
        if float(np.max(np.abs(step))) < 1e-13:
            break
    if np.any(flat @ free[6:8] + 1.0 <= 0):
        raise MarkError(tr("The marks can't be so: no camera sees them this way. Check their distances."))
    jacobian, predicted = _jacobian(flat, free)
    weighted = jacobian / error.ravel()[:, None]
    covariance = inverse(weighted.T @ weighted)
    return Homography(
        free, covariance, from_metres, inverse(from_pixels), (seen - predicted) / from_pixels[0, 0]
    )


def _normaliser(places: Floats) -> Floats:
    centre = places.mean(axis=0)
    size = float(np.sqrt(((places - centre) ** 2).sum(axis=1).mean() / 2))
    return np.array([[1 / size, 0, -centre[0] / size], [0, 1 / size, -centre[1] / size], [0, 0, 1.0]])


def _direct(flat: Floats, seen: Floats) -> Floats:
    rows = []
    for (x, y), (u, v) in zip(flat, seen, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    solution: Floats = np.linalg.svd(np.array(rows))[2][-1]
    if abs(solution[8]) < 1e-9:
        raise MarkError(tr("The marks can't be so: no camera sees them this way. Check their distances."))
    out: Floats = solution[:8] / solution[8]
    return out


def _jacobian(flat: Floats, free: Floats) -> tuple[Floats, Floats]:
    x, y = flat[:, 0], flat[:, 1]
    below = free[6] * x + free[7] * y + 1.0
    u = (free[0] * x + free[1] * y + free[2]) / below
    v = (free[3] * x + free[4] * y + free[5]) / below
    jacobian = np.zeros((2 * len(flat), 8))
    plain = np.stack([x, y, np.ones_like(x)], axis=1) / below[:, None]
    jacobian[0::2, 0:3] = plain
    jacobian[1::2, 3:6] = plain
    jacobian[0::2, 6:8] = -u[:, None] * plain[:, :2]
    jacobian[1::2, 6:8] = -v[:, None] * plain[:, :2]
    return jacobian, np.stack([u, v], axis=1)
