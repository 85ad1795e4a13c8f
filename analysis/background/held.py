"""Whether the corners that hold pictures together are held as well by a camera that only turns.

A map between two pictures has eight numbers, a turn three. Where few corners hold a map, most of them in one
part of the picture, it errs far from them, and what it is off a turn says little; the corners themselves
still tell whether a turn takes them where they are seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.background.chain import Tie, links
from analysis.background.following import mapped
from analysis.background.pictures import Floats
from analysis.background.turning import LONGEST, SHORTEST, Turning, closest_turns, least, rays, shown

_OFF_TURN = 0.0018
"""Widths by which corners are farther off turns than off their maps, from the reference on, where a camera
was carried. Of two planes, and of flat scenes with few corners, cameras that turned gave 0.0013 at most,
those walking at 0.4 m/s or more that their maps give away 0.0024 at least.
"""


@dataclass(frozen=True, eq=False)
class Held:
    """``off_px``: how much farther corners are off the best turns than off their own maps, summed along the
    ties from the reference on, the upper tenth over the pictures. ``focal``: of those turns, in widths.
    ``maps``: (n, 3, 3), to the reference, of such turns.
    """

    off_px: float
    focal: float
    maps: Floats

    def turns(self, width_px: int) -> bool:
        """Whether a camera that only turned explains the corners."""
        return self.off_px <= _OFF_TURN * width_px

    @property
    def turning(self) -> Turning:
        """What is left to state of such a camera."""
        return Turning(self.off_px, self.focal, self.off_px)


def held_by_turns(ties: Sequence[Tie], reference: int, shape: tuple[int, ...]) -> Held:
    """The turns, through one lens, that bring the corners of every tie closest to where they are seen.

    ``reference``: the tie to whose picture the maps lead; ``shape``: of the pictures.
    """
    width = max(shape)
    tied = [number for number, tie in enumerate(ties) if tie.parent >= 0]

    def off(log_focal: float) -> float:
        focal_px = float(np.exp(log_focal)) * width
        return sum(_square(ties[n], _turn(ties[n], focal_px, shape), focal_px, shape) for n in tied)

    log_focal, _ = least(off, np.log(np.geomspace(SHORTEST, LONGEST, 25)))
    focal_px = float(np.exp(log_focal)) * width
    turns, more = [np.eye(3)] * len(ties), np.zeros(len(ties))
    for number in tied:
        tie = ties[number]
        turn = _turn(tie, focal_px, shape)
        turns[number] = turns[tie.parent] @ turn.T
        more[number] = _more_px(tie, ties[tie.parent], _square(tie, turn, focal_px, shape))
    line = links(ties, reference)
    summed = [sum(more[link] for link in line ^ links(ties, number)) for number in range(len(ties))]
    lens = np.array([[focal_px, 0, (shape[1] - 1) / 2], [0, focal_px, (shape[0] - 1) / 2], [0, 0, 1.0]])
    maps = np.stack([lens @ turns[reference].T @ turn @ np.linalg.inv(lens) for turn in turns])
    return Held(float(np.quantile(summed, 0.9)), focal_px / width, maps / maps[:, 2:, 2:])


def _turn(tie: Tie, focal_px: float, shape: tuple[int, ...]) -> Floats:
    """The turn (3, 3) that takes rays of the parent's picture closest to those of this one."""
    before, after = (rays(places, focal_px, shape) for places in (tie.places, tie.there))
    found: Floats = closest_turns(before, after[None])[0].T
    return found


def _square(tie: Tie, turn: Floats, focal_px: float, shape: tuple[int, ...]) -> float:
    """Sum of the squares of what corners are off a turn, px²."""
    brought = shown(rays(tie.places, focal_px, shape) @ turn.T, focal_px, shape)
    return float(np.sum((tie.there - brought) ** 2))


def _more_px(tie: Tie, parent: Tie, square: float) -> float:
    """How much farther corners are off the turn than off their map, px, beyond what its five numbers more
    make of chance.
    """
    through = np.linalg.inv(tie.to_base) @ parent.to_base
    own = float(np.sum((tie.there - mapped(through / through[2, 2], tie.places)) ** 2))
    numbers = 2 * len(tie.places)
    return float(np.sqrt(max(0.0, 2 * (square / (numbers - 3) - own / (numbers - 8)))))
