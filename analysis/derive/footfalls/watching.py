"""One going-through of a film: small pictures of all frames, and the band along the ground in full size."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.canvas import Canvas
from analysis.film import FrameReader
from analysis.film.luma import Grey, luma_of
from analysis.values.errors import FilmError
from analysis.values.film import Film

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]

SMALL_ROWS = 180
"""Small pictures are about so many rows high."""

_LOOK = (32, 18)
"""Width and height of the picture by which a cut is seen."""
_KEPT_FROM = 0.40
"""The ground is looked for below this share of the picture's height."""
_MOST_KEPT_BYTES = 450_000_000


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


def small_scale(height: int) -> int:
    """Pixels of the film in one of a small picture."""
    return max(1, round(height / SMALL_ROWS))


class Watch:
    """Takes small pictures and bands from frames as they are decoded."""

    def __init__(
        self,
        film: Film,
        canvas: Canvas,
        small: bool,
        band: BandPlace | None,
        body_rows: tuple[float, float] | None = None,
        keep: bool = False,
    ) -> None:
        """``body_rows``: the rows in which the body runs, where known; small pictures then hold no others.
        ``keep``: keep the lower part of the pictures in full size too, where a still camera's film is short.
        """
        self._film, self._canvas, self._place = film, canvas, band
        self.scale = small_scale(canvas.height)
        self.looks = np.zeros((film.frames, _LOOK[1], _LOOK[0]), np.uint8)
        self.small: Frames | None = None
        self.band: Frames | None = None
        self._rows: slice | None = None
        height = canvas.height
        if body_rows is not None and canvas.maps is None:
            top = int(np.clip(body_rows[0], 0, height - 8 * self.scale))
            self._rows = slice(top, int(np.clip(body_rows[1], top + 8 * self.scale, height)))
            height = self._rows.stop - self._rows.start
        if small:
            width = -(-canvas.width // self.scale)
            self.small = np.zeros((film.frames, -(-height // self.scale), width), np.uint8)
        if band is not None:
            self.band = np.zeros((film.frames, band.rows, canvas.width), np.uint8)
        self._kept: Frames | None = None
        self._kept_from = round(_KEPT_FROM * canvas.height)
        size = film.frames * (canvas.height - self._kept_from) * canvas.width
        if keep and canvas.maps is None and size <= _MOST_KEPT_BYTES:
            self._kept = np.zeros((film.frames, canvas.height - self._kept_from, canvas.width), np.uint8)

    def cut_band(self, place: BandPlace) -> Frames | None:
        """The band, once its place is known, of what was kept; None where it reaches over that or nothing
        was.
        """
        ends = (place.v(0), place.v(self._canvas.width - 1))
        if self._kept is None or min(ends) - place.above - 3 < self._kept_from:
            return None
        kept, self._kept = self._kept, None
        self._place = BandPlace(place.slope, place.offset - self._kept_from, place.above, place.below)
        self.small = None
        self.band = np.zeros((len(kept), place.rows, self._canvas.width), np.uint8)
        for number, picture in enumerate(kept):
            self._band(number, picture)
        return self.band

    def take(self, number: int, picture: Grey) -> None:
        """One frame; of one that can't be tied to the others only a look is kept."""
        self.looks[number] = cv2.resize(
            np.ascontiguousarray(picture[::4, ::4]), _LOOK, interpolation=cv2.INTER_AREA
        )
        if self._canvas.blind(number):
            return
        if self.small is not None:
            self._small(number, picture)
        if self._kept is not None:
            self._kept[number] = picture[self._kept_from :]
        self._band(number, picture)

    def _band(self, number: int, picture: Grey) -> None:
        if self._place is not None and self.band is not None:
            matrix = self._to_band(number)
            if self._canvas.maps is None and abs(self._place.slope) * self._canvas.width < 0.5:
                self._cut(number, picture)
                return
            shape = (self._canvas.width, self._place.rows)
            if self._canvas.maps is None:
                # A still camera's columns are only shifted, each always by the same number of rows.
                picture, matrix = self._cropped(picture, matrix)
                cv2.warpAffine(
                    picture, matrix[:2], shape, dst=self.band[number], flags=cv2.INTER_NEAREST, borderValue=0
                )
            else:
                cv2.warpPerspective(
                    np.ascontiguousarray(picture),
                    matrix,
                    shape,
                    dst=self.band[number],
                    flags=cv2.INTER_LINEAR,
                )

    def _cropped(self, picture: Grey, matrix: Floats) -> tuple[Grey, Floats]:
        place = self._place
        assert place is not None
        ends = (place.v(0), place.v(self._canvas.width - 1))
        top = int(np.clip(min(ends) - place.above - 2, 0, picture.shape[0] - 1))
        bottom = int(np.clip(max(ends) + place.below + 3, top + 1, picture.shape[0]))
        move = np.array([[1.0, 0, 0], [0, 1.0, top], [0, 0, 1.0]])
        return np.ascontiguousarray(picture[top:bottom]), matrix @ move

    def _cut(self, number: int, picture: Grey) -> None:
        place = self._place
        assert place is not None
        assert self.band is not None
        top = round(place.v(self._canvas.width / 2)) - place.above
        begin, end = max(0, top), min(picture.shape[0], top + place.rows)
        if end > begin:
            self.band[number, begin - top : end - top] = picture[begin:end]

    def _to_band(self, number: int) -> Floats:
        """From pixels of a frame to those of the band."""
        place = self._place
        assert place is not None
        shear = np.array(
            [[1.0, 0, -self._canvas.left], [-place.slope, 1.0, place.above - place.offset], [0, 0, 1.0]]
        )
        return shear if self._canvas.maps is None else shear @ self._canvas.maps[number]

    def _small(self, number: int, picture: Grey) -> None:
        assert self.small is not None
        if self._rows is not None:
            picture = picture[self._rows]
        rows, columns = self.small.shape[1:]
        scale = self.scale
        height, width = picture.shape[0] // scale * scale, picture.shape[1] // scale * scale
        less = cv2.resize(
            picture[:height, :width], (width // scale, height // scale), interpolation=cv2.INTER_AREA
        )
        less = np.maximum(less, 1)
        if self._canvas.maps is None:
            self.small[number, : less.shape[0], : less.shape[1]] = less
            return
        grow = np.array([[scale, 0, (scale - 1) / 2], [0, scale, (scale - 1) / 2], [0, 0, 1.0]])
        away = np.array([[1.0, 0, -self._canvas.left], [0, 1.0, 0], [0, 0, 1.0]])
        matrix = np.linalg.inv(grow) @ away @ self._canvas.maps[number] @ grow
        cv2.warpPerspective(less, matrix, (columns, rows), dst=self.small[number], flags=cv2.INTER_LINEAR)


def go_through(
    film: Film,
    reader: FrameReader,
    watch: Watch,
    progress: Callable[[float], None] | None = None,
) -> list[int]:
    """Decode all frames in order into ``watch``; the frames that are damaged are given back."""
    damaged = []
    for number in range(film.frames):
        try:
            watch.take(number, luma_of(film, reader.decoded(number)))
        except FilmError:
            damaged.append(number)
            watch.looks[number] = watch.looks[max(0, number - 1)]  # no cut, only a gap
        if progress is not None and number % 16 == 0:
            progress(number / film.frames)
    return damaged
