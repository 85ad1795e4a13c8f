"""What a lens does to a picture and to the row of marks in it, in numbers for the coach."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.ground import lens as lenses
from analysis.ground.bend import bend_px
from analysis.ground.carried import combine, normal, result
from analysis.ground.marks import on_the_line
from analysis.ground.straightening import straight_marks
from analysis.ground.view import View
from analysis.values.camera import Lens
from analysis.values.estimate import Result
from analysis.values.run import Run


@dataclass(frozen=True)
class LensReading:
    """``corner_px``: how far the lens puts the picture's farthest corner from its straight place, outwards
    positive, px. ``before_px``, ``after_px``: how far the middle of the marked row lies beside the line
    through its ends, in the picture as it is and straightened, px.
    """

    corner_px: Result
    before_px: Result
    after_px: Result


def lens_reading(lens: Lens, run: Run, width: int, height: int) -> LensReading:
    """The lens in numbers that show on this run's picture. ``run``: with all marks that serve it."""
    corners = np.array([(u, v) for u in (0.0, width - 1.0) for v in (0.0, height - 1.0)])
    centre = np.array(lens.centre)
    far = corners[[int(np.argmax(np.linalg.norm(corners - centre, axis=1)))]]
    straight = lenses.straightened(lens, far)
    known = bool(np.all(np.isfinite(straight)))
    out = float(np.linalg.norm(far - centre) - np.linalg.norm(straight - centre)) if known else float("nan")
    u = lens.k1_u * float(np.linalg.norm(lenses.moved_by_k1(lens, straight))) if known else 0.0
    row = on_the_line(run.marks)
    return LensReading(
        result(combine(out, {normal(u): 1.0} if u > 0 else {})),
        result(bend_px(row)),
        result(bend_px(straight_marks(View(width, height, lens), row))),
    )


def fitted_to(lens: Lens, was: tuple[int, int], now: tuple[int, int]) -> Lens | None:
    """A lens measured on pictures of size ``was`` for pictures of size ``now``, both (width, height); None
    where the two are of another shape, so that one is no enlargement of the other.
    """
    scale = now[0] / was[0]
    if abs(was[1] * scale - now[1]) > max(2.0, 0.01 * now[1]):
        return None
    u, v = lens.centre
    off = (scale - 1) / 2  # pixel 0 has its centre at 0
    return Lens(lens.k1, lens.focal_px * scale, (u * scale + off, v * scale + off), lens.k1_u)
