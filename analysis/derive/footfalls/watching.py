"""One going-through of a film: small pictures of all frames, and the band along the ground in full size."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import cv2
import numpy as np
import numpy.typing as npt
from av.video.stream import VideoStream

from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import BandPlace, Cutter
from analysis.derive.footfalls.still_so_far import StillSoFar
from analysis.film import FrameReader
from analysis.film.container import READ_ERRORS, open_container
from analysis.film.luma import Grey, luma_of, tint_of
from analysis.values.errors import FilmError
from analysis.values.film import Film

Frames = npt.NDArray[np.uint8]

SMALL_ROWS = 180
"""Small pictures are about so many rows high."""

_LOOK = (32, 18)
"""Width and height of the picture by which a cut is seen."""
_BODY_HZ = 60.0
"""So many pictures a second show where a runner is."""
_KEPT_FROM = 0.40
"""The ground is looked for below this share of the picture's height, where nothing tells more."""
_MOST_KEPT_BYTES = 650_000_000
_FIRST_LOOKS, _MOVED_LEVELS, _FEWEST_MOVED = 4, 12.0, 2
"""So many frames tell which rows to keep: those about the lowest in which so many pixels differ so much."""
_KEPT_AROUND = (0.62, 0.14)
"""Of the height of what moves, over and under its lowest row."""


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
        keep: slice | None = None,
    ) -> None:
        """``body_rows``: the rows in which the body runs, where known; small pictures then hold no others.
        ``keep``: rows of the pictures to keep in full size too, where a still camera's film is short.
        """
        self._film, self._canvas = film, canvas
        self.every = max(1, int((film.facts.times.median_rate_hz or 30.0) // _BODY_HZ))
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
            few = -(-film.frames // self.every)
            self.small = np.zeros((few, -(-height // self.scale), width), np.uint8)
        if band is not None:
            self._begin(band)
        self._kept: tuple[Frames, Frames] | None = None
        self._keep = slice(0, 0) if keep is None else slice(keep.start // 2 * 2, keep.stop)
        rows = self._keep.stop - self._keep.start
        if rows and canvas.maps is None and 1.5 * film.frames * rows * canvas.width <= _MOST_KEPT_BYTES:
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
        """Cut a flat band, once its place is known, out of what was kept; not where it reaches over that or
        nothing was.
        """
        low = self._keep.stop
        if self._kept is None or place.top < self._keep.start or place.top + place.rows > low:
            return False
        luma, tints = self._kept
        self.small = self._kept = None
        top = place.top - self._keep.start
        self.band = luma[:, top : top + place.rows]
        self.tints = tints[:, top // 2 : (top + place.rows + 1) // 2]
        return True

    @property
    def tint_rows(self) -> slice:
        """The rows of a frame's colours that are taken."""
        return slice(None) if self._kept is None else slice(self._keep.start // 2, None)

    def take(self, number: int, picture: Grey, tint: Grey | None) -> None:
        """One frame, and ``tint_rows`` of its colours; of a frame that can't be tied to the others only a
        look is kept.
        """
        self.looks[number] = cv2.resize(
            np.ascontiguousarray(picture[::8, ::8]), _LOOK, interpolation=cv2.INTER_AREA
        )
        if self._canvas.blind(number):
            return
        if self.small is not None and number % self.every == 0:
            self._small(number // self.every, number, picture)
        if self._kept is not None:
            self._kept[0][number] = picture[self._keep]
            if tint is not None:
                self._kept[1][number] = tint[: self._kept[1].shape[1]]
        self._cut(number, picture, tint)

    def _cut(self, number: int, picture: Grey, tint: Grey | None) -> None:
        if self._cutters is None or self.band is None or self.tints is None:
            return
        self._cutters[0].cut(number, picture, self.band[number])
        if tint is not None:
            self._cutters[1].cut(number, tint, self.tints[number])

    def _small(self, at: int, number: int, picture: Grey) -> None:
        assert self.small is not None
        if self._rows is not None:
            picture = picture[self._rows]
        rows, columns = self.small.shape[1:]
        scale = self.scale
        less = np.maximum(_shrunk(picture, scale, quick=self._canvas.maps is None), 1)
        if self._canvas.maps is None:
            self.small[at, : less.shape[0], : less.shape[1]] = less
            return
        grow = np.array([[scale, 0, (scale - 1) / 2], [0, scale, (scale - 1) / 2], [0, 0, 1.0]])
        away = np.array([[1.0, 0, -self._canvas.left], [0, 1.0, 0], [0, 0, 1.0]])
        matrix = np.linalg.inv(grow) @ away @ self._canvas.maps[number] @ grow
        cv2.warpPerspective(less, matrix, (columns, rows), dst=self.small[at], flags=cv2.INTER_LINEAR)

    def leave_out(self, frames: slice) -> None:
        """Nothing is seen in these frames."""
        first, last = frames.indices(self._film.frames)[:2]
        if self.small is not None:
            self.small[-(-first // self.every) : -(-last // self.every)] = 0
        for pictures in (self.band, self.tints):
            if pictures is not None:
                pictures[frames] = 0


def _first_looks(film: Film) -> list[Grey]:
    """A few pictures of a film, small, from key frames alone, as each of them shows what it does by itself;
    fewer where the film has not so many, none where it is damaged.
    """
    keys = [number for number, entry in enumerate(film.index) if entry.key]
    wanted = {film.index[keys[at]].pts for at in np.linspace(0, len(keys) - 1, _FIRST_LOOKS).astype(int)}
    looks: list[Grey] = []
    with suppress(*READ_ERRORS, FilmError), open_container(film.path) as container:
        stream = container.streams[film.stream]
        assert isinstance(stream, VideoStream)
        for packet in container.demux(stream):
            if packet.dts is None or packet.pts in wanted:  # the last one, empty, calls for what is held back
                looks += [small_look(luma_of(film, frame)) for frame in packet.decode()]
    return looks


def small_look(picture: Grey) -> Grey:
    """A picture in the size of the small ones."""
    return _shrunk(picture, small_scale(picture.shape[0]), quick=True)


def _shrunk(picture: Grey, scale: int, *, quick: bool) -> Grey:
    """The mean of so many rows and columns each, as far as there are as many. ``quick``: halved again and
    again where that can be, many times as quick and rounded more often.
    """
    height, width = (size // scale * scale for size in picture.shape)
    out = picture[:height, :width]
    while scale > 1:
        step = 2 if quick and scale % 2 == 0 else scale
        size = out.shape[1] // step, out.shape[0] // step
        out, scale = np.asarray(cv2.resize(out, size, interpolation=cv2.INTER_AREA), np.uint8), scale // step
    return out


def rows_to_keep(film: Film) -> slice:
    """Rows of a still camera's film in which its runner's ground may lie, from a few looks at it."""
    height, looks = film.shown_size[1], _first_looks(film)
    whole = slice(round(_KEPT_FROM * height), height)
    if len(looks) < 3:
        return whole
    scale = height / looks[0].shape[0]
    away = np.abs(np.stack(looks) - np.median(looks, axis=0)) > _MOVED_LEVELS
    moved = np.flatnonzero((away.sum(axis=2) >= _FEWEST_MOVED).any(axis=0))
    if len(moved) == 0:
        return whole
    top, low = scale * float(moved[0]), scale * float(moved[-1] + 1)
    over, under = _KEPT_AROUND
    return slice(max(0, round(low - over * (low - top))), min(height, round(low + under * (low - top))))


def go_through(
    film: Film,
    reader: FrameReader,
    watch: Watch,
    progress: Callable[[float], None] | None = None,
    still: StillSoFar | None = None,
) -> list[int]:
    """Decode all frames in order into ``watch``; the frames that are damaged are given back. ``still``: asked
    whether the camera stands still; raises CameraMovesError where it does not.
    """
    damaged = []
    for number in range(film.frames):
        try:
            frame = reader.decoded(number)
            picture = luma_of(film, frame)
            if still is not None:
                still.look(number, picture)
            watch.take(number, picture, tint_of(film, frame, watch.tint_rows))
        except FilmError:
            damaged.append(number)
            watch.looks[number] = watch.looks[max(0, number - 1)]  # no cut, only a gap
        if progress is not None and number % 16 == 0:
            progress(number / film.frames)
    return damaged
