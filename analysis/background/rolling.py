"""Rows of a picture that were read out one after the other: what a camera that turns makes of that."""

from __future__ import annotations

import numpy as np

from analysis.background.following import grid, mapped
from analysis.background.pictures import Floats


class Rolling:
    """Maps (n, 3, 3) of pictures to one of them, by the time that passes from a picture's top row to its
    bottom one; negative where rows are read from the bottom. ``seconds`` (n,): when each was taken.

    While the rows are read the background moves on, by its speed in the picture times the time since the
    middle row; its mean over the picture is taken, which makes a shear of it. Neighbouring pictures tell the
    speed.
    """

    def __init__(self, maps: Floats, seconds: Floats, shape: tuple[int, ...]) -> None:
        self._maps, self._height = maps, shape[0]
        self._reference = int(np.argmin(np.abs(maps - np.eye(3)).sum(axis=(1, 2))))
        places = grid(shape)
        speeds = []
        for number, own in enumerate(maps):
            before, after = max(0, number - 1), min(len(maps) - 1, number + 1)
            there = [mapped(np.linalg.solve(maps[other], own), places) for other in (before, after)]
            passed = float(seconds[after] - seconds[before])
            speeds.append((there[1] - there[0]).mean(axis=0) / passed)
        self._speeds = np.array(speeds)

    def at_once(self, readout_s: float) -> Floats:
        """The maps as they were between pictures whose rows had all been taken at once."""
        middle = (self._height - 1) / 2
        moved = self._speeds * (readout_s / self._height)
        rolled = np.tile(np.eye(3), (len(moved), 1, 1))
        rolled[:, :2, 1] += moved
        rolled[:, :2, 2] -= moved * middle
        out = np.linalg.inv(rolled[self._reference]) @ self._maps @ rolled
        return np.asarray(out / out[:, 2:, 2:])
