"""How far marks lie from where the map of all of them puts them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.homography import Homography
from analysis.ground.line_map import LineMap
from analysis.ground.view import View
from analysis.values.run import GroundMark

Floats = npt.NDArray[np.float64]

WIDE_RESIDUAL = 3.0
"""Beyond this many standard uncertainties a mark is named."""


@dataclass(frozen=True)
class Residual:
    """How far a mark lies from where the map puts it, px along u and v of the picture that the map is of;
    ``sigmas``: against its own error.
    """

    mark_id: str
    du: float
    dv: float
    sigmas: float


def mark_residuals(
    plane: Homography | LineMap, used: Sequence[GroundMark], errors: Floats
) -> tuple[Residual, ...]:
    """The residual of every mark that the map was fitted to, in their order.

    ``errors``: the marks' standard uncertainties in px, along the running line and across it, (n, 2).
    """
    sigmas = np.hypot(plane.residuals[:, 0] / errors[:, 0], plane.residuals[:, 1] / errors[:, 1])
    if isinstance(plane, LineMap):
        angle = plane.free[0]
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        in_picture = plane.residuals @ turn
    else:
        in_picture = plane.residuals
    return tuple(
        Residual(mark.id, float(du), float(dv), float(size))
        for mark, (du, dv), size in zip(used, in_picture, sigmas, strict=True)
    )


def in_film(
    residuals: Sequence[Residual], used: Sequence[GroundMark], marks: Sequence[GroundMark], view: View
) -> tuple[Residual, ...]:
    """Residuals as they are seen on the frame of each mark, of those marks that the coach placed.

    ``used``: the straightened marks, in the residuals' order; ``marks``: as they were placed.
    """
    placed = {mark.id: mark for mark in marks}
    found = [(r, m, placed[m.id]) for r, m in zip(residuals, used, strict=True) if m.id in placed]
    if view.plain or not found:
        return tuple(r for r, _, _ in found)
    there = np.array([(m.u - r.du, m.v - r.dv) for r, m, _ in found])
    seen = view.seen([int(raw.frame) for _, _, raw in found], there)
    return tuple(
        Residual(r.mark_id, float(raw.u - u), float(raw.v - v), r.sigmas)
        for (r, _, raw), (u, v) in zip(found, seen, strict=True)
    )
