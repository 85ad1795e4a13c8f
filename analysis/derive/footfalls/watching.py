"""One going-through of a film: small pictures of all frames, and the band along the ground in full size."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import BandPlace, Cutter
from analysis.film import FrameReader
from analysis.film.luma import Grey, luma_of, tint_of
from analysis.values.errors import FilmError
from analysis.values.film import Film

Frames = npt.NDArray[np.uint8]

SMALL_ROWS = 180
"""Small pictures are about so many rows high."""

_LOOK = (32, 18)
"""Width and height of the picture by which a cut is seen."""
_KEPT_FROM = 0.40
"""The ground is looked for below this share of the picture's height."""
_MOST_KEPT_BYTES = 650_000_000


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
        self._film, self._canvas = film, canvas
        self.scale = small_scale(canvas.height)
        self.looks = np.zeros((film.frames, _LOOK[1], _LOOK[0]), np.uint8)
        self.small: Frames | None = None
        self.band: Frames | None = None
        self.tints: Frames | None = None
        self._rows: slice | None = None
        self._cutters: tuple[Cutter, Cutter] | None = None
        height = canvas.height
        if body_rows is not None and canvas.maps is None:
            top = int(np.clip(body_rows[0], 0, height - 8 * self.scale))
            self._rows = slice(top, int(np.clip(body_rows[1], top + 8 * self.scale, height)))
            height = self._rows.stop - self._rows.start
        if small:
            width = -(-canvas.width // self.scale)
            self.small = np.zeros((film.frames, -(-height // self.scale), width), np.uint8)
        if band is not None:
            self._begin(band)
        self._kept: tuple[Frames, Frames] | None = None
        self._kept_from = round(_KEPT_FROM * canvas.height) // 2 * 2
        rows = canvas.height - self._kept_from
        if keep and canvas.maps is None and 1.5 * film.frames * rows * canvas.width <= _MOST_KEPT_BYTES:
            half = ((rows + 1) // 2, (canvas.width + 1) // 2, 2)
            self._kept = (
                np.zeros((film.frames, rows, canvas.width), np.uint8),
                np.zeros((film.frames, *half), np.uint8),
            )

    def _begin(self, place: BandPlace) -> None:
        cutters = Cutter(self._canvas, place), Cutter(self._canvas, place, times=2)
        self.band = np.zeros((self._film.frames, *cutters[0].shape), np.uint8)
        self.tints = np.zeros((self._film.frames, *cutters[1].shape, 2), np.uint8)
        self._cutters = cutters

    def cut_band(self, place: BandPlace) -> bool:
        """Cut the band, once its place is known, out of what was kept; not where it reaches over that or
        nothing was.
        """
        ends = (place.v(0), place.v(self._canvas.width - 1))
        if self._kept is None or min(ends) - place.above - 3 < self._kept_from:
            return False
        kept, self._kept = self._kept, None
        self.small = None
        self._begin(BandPlace(place.slope, place.offset - self._kept_from, place.above, place.below))
        for number, (picture, tint) in enumerate(zip(*kept, strict=True)):
            self._cut(number, picture, tint)
        return True

    def take(self, number: int, picture: Grey, tint: Grey | None) -> None:
        """One frame; of one that can't be tied to the others only a look is kept."""
        self.looks[number] = cv2.resize(
            np.ascontiguousarray(picture[::4, ::4]), _LOOK, interpolation=cv2.INTER_AREA
        )
        if self._canvas.blind(number):
            return
        if self.small is not None:
            self._small(number, picture)
        if self._kept is not None:
            self._kept[0][number] = picture[self._kept_from :]
            if tint is not None:
                self._kept[1][number] = tint[self._kept_from // 2 :]
        self._cut(number, picture, tint)

    def _cut(self, number: int, picture: Grey, tint: Grey | None) -> None:
        if self._cutters is None or self.band is None or self.tints is None:
            return
        self._cutters[0].cut(number, picture, self.band[number])
        if tint is not None:
            self._cutters[1].cut(number, tint, self.tints[number])

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
            frame = reader.decoded(number)
            watch.take(number, luma_of(film, frame), tint_of(film, frame))
        except FilmError:
            damaged.append(number)
            watch.looks[number] = watch.looks[max(0, number - 1)]  # no cut, only a gap
        if progress is not None and number % 16 == 0:
            progress(number / film.frames)
    return damaged
