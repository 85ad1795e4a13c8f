"""How bent a row of marks is that is straight in the world: the sign of a lens that bends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Number, combine, normal
from analysis.ground.marks import line_marks
from analysis.values.estimate import NoValue
from analysis.values.run import GroundMark
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

SEEN_PX = 2.0
"""So far out of its chord a row's middle must lie to be said (own)."""


def bend_px(marks: Sequence[GroundMark]) -> Number:
    """How far the middle of the marked line lies beside the line through its ends, px, down positive.

    The sag of a parabola through three or more marks of one height, each good to its click. A level, straight
    line of the world stays straight in every camera but one whose lens bends.
    """
    row = line_marks(marks)
    pixels = np.array([(m.u, m.v) for m in row], dtype=np.float64).reshape(-1, 2)
    if len({round(m.x_m, 6) for m in row}) < 3 or np.ptp(pixels[:, 0]) < 1.0:
        return NoValue(tr("Three marks of one height would show whether the lens bends straight lines."))
    middle, half = pixels[:, 0].mean(), np.ptp(pixels[:, 0]) / 2.0
    s = (pixels[:, 0] - middle) / half
    error = np.array([m.error_px for m in row])
    design = np.stack([np.ones_like(s), s, s * s], axis=1) / error[:, None]
    covariance = np.linalg.pinv(design.T @ design)
    found = covariance @ design.T @ (pixels[:, 1] / error)
    return combine(-float(found[2]), {normal(float(np.sqrt(covariance[2, 2]))): 1.0})


def bend_note(bend: Number) -> list[str]:
    """The sentence that says that straight things come out bent, where they do."""
    if isinstance(bend, NoValue):
        return []
    size = abs(float(bend.nominal_value))
    if size < SEEN_PX or size < 1.96 * float(bend.std_dev):
        return []
    return [
        tr(
            "The marks on one line stand in a bent row: its middle lies {px:.1f} px beside the line through "
            "its ends. The lens may bend straight lines; measure it along a straight line, or with a "
            "chequerboard."
        ).format(px=size)
    ]
