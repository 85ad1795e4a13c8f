"""The lens from things that are straight in the world."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import typical_focal_px
from analysis.ground.lens import straightened
from analysis.values.camera import Lens
from analysis.values.errors import MarkError
from analysis.values.run import DEFAULT_ERROR_PX
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

MOST_BENT = 0.8
"""A ``k1`` beyond this, at a phone's focal length, is no lens that this model can take straight (own)."""


@dataclass(frozen=True)
class LensFit:
    """``bend_px``: how far the middle of the most bent row lies from its chord's line before straightening;
    ``left_px``: root mean square distance of the clicks from straight lines after it, px.
    """

    lens: Lens
    bend_px: float
    left_px: float


def lens_from_lines(
    lines: Sequence[Floats], width: int, height: int, error_px: float = DEFAULT_ERROR_PX
) -> LensFit:
    """The radial coefficient that makes rows of clicks straightest, for a centre in the picture's middle.

    ``lines``: rows of clicks, shape (n >= 3, 2), px, each row along one thing that is straight in the world.
    ``k1`` counts for a phone's usual focal length: only ``k1 / focal^2`` shows in a row. Least squares of the
    clicks' distances from their lines; ``k1_u`` from the clicks' error, wider where they scatter more.
    Raises MarkError where no row has three clicks, where the rows do not tell, or where they fit no lens.
    """
    rows = [np.asarray(row, dtype=np.float64).reshape(-1, 2) for row in lines]
    rows = [row for row in rows if len(row) >= 3]
    if not rows:
        raise MarkError(
            tr("Click three places or more along one straight line, best near the picture's edge.")
        )
    lens = Lens(0.0, typical_focal_px(width, height), ((width - 1) / 2, (height - 1) / 2))
    before = _distances(lens, rows)
    small = 1e-4
    for _ in range(30):
        here = _distances(lens, rows)
        ahead, behind = (_distances(replace(lens, k1=lens.k1 + way * small), rows) for way in (1, -1))
        slope = (ahead - behind) / (2.0 * small)
        square = float(slope @ slope)
        if not (math.isfinite(square) and square > 0.0):
            raise MarkError(
                tr("These lines run through the picture's middle: they show no bend. Choose others.")
            )
        step = _as_far_as_it_goes(lens, rows, -float(slope @ here) / square)
        lens = replace(lens, k1=lens.k1 + step)
        if abs(lens.k1) > MOST_BENT:
            raise MarkError(tr("No lens makes these lines straight. Are they straight in the world?"))
        if abs(step) < 1e-10:
            break
    left = _distances(lens, rows)
    freedom = max(1, left.size - 2 * len(rows) - 1)
    scatter = max(1.0, math.sqrt(float(left @ left) / freedom) / error_px)
    found = replace(lens, k1_u=error_px * scatter / math.sqrt(square))
    return LensFit(found, float(np.abs(before).max()), math.sqrt(float(np.mean(left * left))))


def _as_far_as_it_goes(lens: Lens, rows: Sequence[Floats], step: float) -> float:
    """The step, halved until every click can be taken straight: a wide lens is close to one that folds."""
    for _ in range(12):
        ahead = replace(lens, k1=lens.k1 + step)
        if all(np.isfinite(straightened(ahead, row)).all() for row in rows):
            break
        step /= 2.0
    return step


def _distances(lens: Lens, rows: Sequence[Floats]) -> Floats:
    """Distance of every straightened click from the line through its row, px."""
    found = []
    for row in rows:
        straight = straightened(lens, row)
        if not np.all(np.isfinite(straight)):
            raise MarkError(tr("No lens makes these lines straight. Are they straight in the world?"))
        spread = straight - straight.mean(axis=0)
        across = np.linalg.svd(spread, full_matrices=False)[2][1]
        found.append(spread @ (across if across[np.argmax(np.abs(across))] > 0 else -across))
    return np.concatenate(found)
