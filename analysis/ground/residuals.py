"""How far marks lie from where the map of all of them puts them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.ground.homography import Homography
from analysis.ground.line_map import LineMap
from analysis.values.run import GroundMark

WIDE_RESIDUAL = 3.0
"""Beyond this many standard uncertainties a mark is named."""


@dataclass(frozen=True)
class Residual:
    """How far a mark lies from where the map puts it, px along u and v; ``sigmas``: against its own error."""

    mark_id: str
    du: float
    dv: float
    sigmas: float


def mark_residuals(plane: Homography | LineMap, used: Sequence[GroundMark]) -> tuple[Residual, ...]:
    """The residual of every mark that the map was fitted to, in their order."""
    if isinstance(plane, LineMap):
        angle = plane.free[0]
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        in_picture = plane.residuals @ turn
    else:
        in_picture = plane.residuals
    return tuple(
        Residual(mark.id, float(du), float(dv), float(math.hypot(du, dv) / mark.error_px))
        for mark, (du, dv) in zip(used, in_picture, strict=True)
    )
