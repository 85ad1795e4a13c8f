"""Whether the corners that hold pictures together are held as well by plain shifts: those of a window that
moved over the wide pictures of a camera that stood still.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.background.chain import Tie, links
from analysis.background.following import mapped
from analysis.background.pictures import Floats

_OFF_SHIFT = 0.0018
"""Widths by which corners are farther off plain shifts than off their maps, as much as they may be off turns
(``held``).
"""


@dataclass(frozen=True, eq=False)
class Shifted:
    """``off_px``: how much farther corners are off the best shifts than off their own maps, summed along the
    ties from the reference on, the upper tenth over the pictures. ``shift_px``: (n, 2), from each picture to
    the reference.
    """

    off_px: float
    shift_px: Floats

    def shifts(self, width_px: int) -> bool:
        """Whether plain shifts explain the corners."""
        return self.off_px <= _OFF_SHIFT * width_px

    @property
    def maps(self) -> Floats:
        """The same as maps, (n, 3, 3)."""
        out = np.tile(np.eye(3), (len(self.shift_px), 1, 1))
        out[:, :2, 2] = self.shift_px
        return out


def held_by_shifts(ties: Sequence[Tie], reference: int) -> Shifted:
    """The shifts that bring the corners of every tie closest to where they are seen; ``reference``: the tie
    to whose picture they lead.
    """
    to_first, more = np.zeros((len(ties), 2)), np.zeros(len(ties))
    for number, tie in enumerate(ties):
        if tie.parent >= 0:
            moved = np.asarray(tie.there - tie.places, np.float64)
            to_first[number] = to_first[tie.parent] - moved.mean(axis=0)
            more[number] = _more_px(tie, ties[tie.parent], moved)
    line = links(ties, reference)
    summed = [sum(more[link] for link in line ^ links(ties, number)) for number in range(len(ties))]
    return Shifted(float(np.quantile(summed, 0.9)), to_first - to_first[reference])


def _more_px(tie: Tie, parent: Tie, moved: Floats) -> float:
    """How much farther corners are off one shift than off their map, px, beyond what chance makes of its
    six numbers more.
    """
    through = np.linalg.inv(tie.to_base) @ parent.to_base
    own = float(np.sum((tie.there - mapped(through / through[2, 2], tie.places)) ** 2))
    square, numbers = float(np.sum((moved - moved.mean(axis=0)) ** 2)), 2 * len(moved)
    return float(np.sqrt(max(0.0, 2 * (square / (numbers - 2) - own / (numbers - 8)))))
