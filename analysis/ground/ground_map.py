"""The map of the ground itself, from marks on both sides of the running line: for shoes only."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Source, normal
from analysis.ground.homography import SMALL, Homography, apply_map, fit_homography
from analysis.values.run import DEFAULT_ERROR_PX, GroundMark

Floats = npt.NDArray[np.float64]

SOLE_U_M = 0.015
"""How far a shoe's tip is above the ground while it stands, standard uncertainty, m (own assumption)."""
GOOD_ENOUGH_M = 0.065
"""The ground map serves where it tells how far beside the line a shoe stands to this standard uncertainty: no
worse than what is assumed without it (own)."""


@dataclass(frozen=True, eq=False)
class GroundMap:
    """``plane``: between places along and beside the line, m, and pixels. ``columns``, ``sources``: its
    independent errors. ``aside_u_m``: how well it tells a shoe's place beside the line, m.
    """

    plane: Homography
    columns: Floats
    sources: tuple[Source, ...]
    aside_u_m: float

    @property
    def serves(self) -> bool:
        """Whether it tells more than is assumed without it."""
        return self.aside_u_m < GOOD_ENOUGH_M

    def places(self, pixels: Floats, error_px: Floats) -> tuple[Floats, Floats, Floats]:
        """Places along the line, m, (n,), their own standard uncertainty, (n,), and moves, (n, sources).

        The tip's height above the ground moves it in the picture as a click does, down to the ground.
        """
        x = self.plane.metres(pixels)[:, 0]
        per_u, per_v = _per_pixel(self.plane, pixels)
        size = SOLE_U_M / np.maximum(np.abs(per_u[:, 0]), 1e-9)
        own = np.hypot(error_px * per_u[:, 0], np.hypot(error_px, size) * per_v[:, 0])
        moves = np.empty((2, len(self.columns), len(pixels)))
        self.plane.small_moves(pixels, self.plane.changes(self.columns), np.ones(len(pixels)), moves)
        return x, own, moves[0].T


def fit_ground_map(marks: Sequence[GroundMark], columns_of: Callable[[Floats], Floats]) -> GroundMap:
    """The map through marks on the ground. Raises MarkError or LinAlgError where they don't determine it."""
    flat = [m for m in marks if abs(m.y_m) < 1e-6]
    metres = np.array([(m.x_m, m.z_m) for m in flat])
    pixels = np.array([(m.u, m.v) for m in flat])
    error = np.array([m.error_px for m in flat])
    plane = fit_homography(metres, pixels, error)
    columns = columns_of(plane.covariance)
    middle = apply_map(plane.matrix(), np.array([[float(np.mean(metres[:, 0])), 0.0]]))
    per_u, per_v = (float(np.linalg.norm(m[0])) for m in _per_pixel(plane, middle))
    click = math.hypot(DEFAULT_ERROR_PX, SOLE_U_M / max(per_u, 1e-9))
    return GroundMap(plane, columns, tuple(normal(1.0, lasting=True) for _ in columns), click * per_v)


def marks_on_its_line(ground: GroundMap, marks: Sequence[GroundMark]) -> list[GroundMark]:
    """Marks on the running line at the distances of those beside it, where the map puts them."""
    flat = [m for m in marks if abs(m.y_m) < 1e-6]
    places = sorted({round(m.x_m, 6) for m in flat})
    metres = np.array([(x, 0.0) for x in places])
    pixels = apply_map(ground.plane.matrix(), metres)
    up, down = (
        np.array(
            [apply_map(ground.plane.matrix(ground.plane.free + way * c), metres) for c in ground.columns]
        )
        for way in (SMALL, -SMALL)
    )
    error = np.sqrt((((up - down) / (2 * SMALL)) ** 2).sum(axis=0).mean(axis=1))
    frame = flat[0].frame
    return [
        GroundMark(f"between:{x:g}", x, 0.0, frame, float(u), float(v), max(float(e), 0.1))
        for x, (u, v), e in zip(places, pixels, error, strict=True)
    ]


def _per_pixel(plane: Homography, pixels: Floats) -> tuple[Floats, Floats]:
    """Move of a place per pixel of u and of v, m, each (n, 2)."""
    steps = np.array([[0.5, 0.0], [0.0, 0.5], [-0.5, 0.0], [0.0, -0.5]])
    moved = plane.metres((pixels[None] + steps[:, None]).reshape(-1, 2)).reshape(4, -1, 2)
    return moved[0] - moved[2], moved[1] - moved[3]
