"""The band along the ground line, cut out of the frames."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.canvas import Canvas
from analysis.film.luma import Grey

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]


@dataclass(frozen=True)
class BandPlace:
    """``v = slope u + offset`` is the ground line, u from the reference frame's left edge; ``above`` and
    ``below``: rows of the band over and under it.
    """

    slope: float
    offset: float
    above: int
    below: int

    @property
    def rows(self) -> int:
        """Height of the band."""
        return self.above + self.below

    def v(self, u: float) -> float:
        """Row of the ground line at a column."""
        return self.slope * u + self.offset


@dataclass(frozen=True, eq=False)
class Band:
    """``pictures``: (n, rows, width), 0 where a frame sees nothing; the line is row ``place.above``."""

    place: BandPlace
    pictures: Frames


class Cutter:
    """Cuts the band out of pictures that are ``times`` smaller than the film's: once, or half for colours."""

    def __init__(self, canvas: Canvas, place: BandPlace, times: int = 1) -> None:
        self._canvas, self._place, self._times = canvas, place, times
        self.shape = (-(-place.rows // times), -(-canvas.width // times))
        # A still camera's columns are only shifted, each always by the same number of rows.
        columns = np.arange(self.shape[1]) * times
        tops = np.round((place.slope * columns + place.offset - place.above) / times).astype(int)
        edges = [0, *(np.flatnonzero(np.diff(tops)) + 1), len(tops)]
        self._parts = [(slice(a, b), int(tops[a])) for a, b in pairwise(edges)]

    def cut(self, number: int, picture: Grey, out: Frames) -> None:
        """Frame ``number``'s band into ``out``, of ``shape``; what it does not see stays as it is there."""
        if self._canvas.maps is not None:
            matrix = self._to_band(number)
            size = (self.shape[1], self.shape[0])
            cv2.warpPerspective(np.ascontiguousarray(picture), matrix, size, dst=out, flags=cv2.INTER_LINEAR)
            return
        for columns, top in self._parts:
            begin, end = max(0, top), min(picture.shape[0], top + self.shape[0])
            if end > begin:
                part = picture[begin:end, columns]
                out[begin - top : end - top, columns.start : columns.start + part.shape[1]] = part

    def _to_band(self, number: int) -> Floats:
        place, canvas = self._place, self._canvas
        assert canvas.maps is not None
        shear = np.array(
            [[1.0, 0, -canvas.left], [-place.slope, 1.0, place.above - place.offset], [0, 0, 1.0]]
        )
        middle = (self._times - 1) / 2
        grow = np.array([[self._times, 0, middle], [0, self._times, middle], [0, 0, 1.0]])
        matrix: Floats = np.linalg.inv(grow) @ shear @ canvas.maps[number] @ grow
        return matrix
