"""The band along the ground line, cut out of the frames."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.canvas import Canvas
from analysis.film.luma import Grey

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]
Levels = npt.NDArray[np.float32]


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

    @property
    def top(self) -> int:
        """Row of the picture in which a flat band begins."""
        return round(self.offset) - self.above

    def v(self, u: float) -> float:
        """Row of the ground line at a column."""
        return self.slope * u + self.offset


@dataclass(frozen=True)
class Mix:
    """``weights`` of brightness and of both colours, and what is added, by which a band is looked at."""

    weights: tuple[float, float, float]
    bias: float

    @cached_property
    def colours(self) -> Levels:
        """What both colours add, by their two bytes read as one number."""
        _, blue, red = self.weights
        each = np.arange(1 << 16, dtype=np.uint16).view(np.uint8).reshape(-1, 2).astype(np.float32)
        return np.asarray(each[:, 0] * np.float32(blue) + each[:, 1] * np.float32(red), np.float32)


@dataclass(frozen=True, eq=False)
class Band:
    """``pictures``: (n, rows, width), brightness, 0 where a frame sees nothing; the line is row
    ``place.above``. ``tints``: (n, rows / 2, width / 2, 2), its colours. ``mix``: of both, where brightness
    alone does not tell enough.
    """

    place: BandPlace
    pictures: Frames
    tints: Frames | None = None
    mix: Mix | None = None

    def look(self, frames: slice | npt.NDArray[np.int64], rows: slice, columns: slice) -> Frames:
        """Part of it, (n, rows, w), mixed as told: 1 to 255 where a frame sees something, 0 elsewhere."""
        luma = self.pictures[frames, rows, columns]
        if self.mix is None or self.tints is None:
            return luma
        first, last = rows.indices(self.pictures.shape[1])[:2]
        left, right = columns.indices(self.pictures.shape[2])[:2]
        # one more on either side, to tell what lies between two
        down = slice(max(0, first // 2 - 1), last // 2 + 2)
        across = slice(max(0, left // 2 - 1), right // 2 + 2)
        wide = _twice_as_large(self._pair(self.tints[frames, down, across]))
        top, begin = first - 2 * down.start, left - 2 * across.start
        return self._mixed(luma, wide[:, top : top + last - first, begin : begin + right - left])

    def sampled(self) -> Frames:
        """Every fourth row and sixteenth column of all frames, mixed as told."""
        luma = self.pictures[:, ::4, ::16]
        if self.mix is None or self.tints is None:
            return luma
        pair = self._pair(self.tints[:, ::2, ::8])
        return self._mixed(luma, pair[:, : luma.shape[1], : luma.shape[2]])

    def every(self, step: int) -> Band:
        """The band of every so many frames."""
        tints = None if self.tints is None else self.tints[::step]
        return replace(self, pictures=self.pictures[::step], tints=tints)

    def _pair(self, tints: Frames) -> Levels:
        assert self.mix is not None
        # both colours of a pixel as one number, whose share of the mix is looked up
        return self.mix.colours[tints.view(np.uint16)[..., 0]]

    def _mixed(self, luma: Frames, colour: Levels) -> Frames:
        assert self.mix is not None
        mix = luma * np.float32(self.mix.weights[0])
        mix += colour
        mix += np.float32(self.mix.bias)
        np.clip(mix, 1, 255, out=mix)
        out = mix.astype(np.uint8)
        np.multiply(out, luma != 0, out=out)
        return out


def _twice_as_large(levels: Levels) -> Levels:
    """Each of many small pictures with twice as many rows and columns, each a quarter of the way to the next;
    beyond its border a picture goes on as there.
    """
    count, rows, width = levels.shape

    def larger(flat: Levels, down: int) -> Levels:
        size = (2 * width, down * len(flat))
        return np.asarray(cv2.resize(flat, size, interpolation=cv2.INTER_LINEAR), np.float32)

    # all in one call, one below the other: only the outermost rows of each then hold something of the next
    out = larger(levels.reshape(-1, width), 2).reshape(count, 2 * rows, 2 * width)
    for edge in (0, -1):
        out[:, edge] = larger(np.ascontiguousarray(levels[:, edge]), 1)
    return out


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
