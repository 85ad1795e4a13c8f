"""Grey pictures of a film as they are followed: as shown, no wider or higher than is worth the time."""

from __future__ import annotations

from collections.abc import Callable
from types import TracebackType
from typing import Self

import cv2
import numpy as np
import numpy.typing as npt
from av.video.reformatter import Interpolation, VideoReformatter

from analysis.film.orientation import turned
from analysis.film.reader import FrameReader
from analysis.ground.lens import bent
from analysis.values.camera import Lens
from analysis.values.film import Film

Grey = npt.NDArray[np.uint8]
"""(height, width), as shown."""

Floats = npt.NDArray[np.float64]

LONGEST_PX = 1280
"""The longer side of a followed picture at most; larger films are made smaller."""

_KEEP_BYTES = 60_000_000


class GreyPictures:
    """Grey pictures of a film's frames. Made, used and closed on one thread; decodes on that thread alone.

    ``scale``: shown pixels in one pixel of these pictures, at least 1. ``lens``: of the shown pictures; where
    it is known, the pictures are freed from its bend. ``stopped``: asked between frames; when it says yes,
    ReadingStopped is raised. Raises FilmError where the film can't be opened any more.
    """

    def __init__(
        self, film: Film, stopped: Callable[[], bool] | None = None, lens: Lens | None = None
    ) -> None:
        self._film = film
        self._reader = FrameReader(film, _KEEP_BYTES, threads=1, stopped=stopped)
        self._converter = VideoReformatter()
        self.scale = max(1.0, max(film.shown_size) / LONGEST_PX)
        stretched = round(film.stored_width * film.pixel_aspect), film.stored_height
        self._size = round(stretched[0] / self.scale), round(stretched[1] / self.scale)
        self._lens = lens
        self._bent: tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]] | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._reader.close()

    def picture(self, number: int) -> Grey:
        """The picture of a frame. Raises FrameError outside the film, FilmError where it is damaged."""
        frame = self._reader.decoded(number)
        how = Interpolation.AREA if self.scale > 1 else Interpolation.BILINEAR
        made = self._converter.reformat(frame, *self._size, "gray", interpolation=how, threads=1)
        plane = made.planes[0]
        lines: Grey = np.frombuffer(memoryview(plane), np.uint8).reshape(made.height, plane.line_size)
        shown = turned(lines[:, : made.width], self._film.rotation_deg, self._film.mirrored)
        return self.straight(np.ascontiguousarray(shown))

    def straight(self, seen: Grey, how: int = cv2.INTER_LINEAR) -> Grey:
        """A picture of this size, freed from the lens where one is known; ``how``: OpenCV's interpolation."""
        if self._lens is None:
            return seen
        if self._bent is None:
            off = (self.scale - 1) / 2  # as in to_shown
            v, u = np.indices(seen.shape)
            places = np.column_stack([u.ravel(), v.ravel()]).astype(np.float64) * self.scale + off
            there = (bent(self._lens, places) - off) / self.scale
            across, down = np.asarray(there.T.reshape(2, *seen.shape), np.float32)
            self._bent = across, down
        return np.asarray(cv2.remap(seen, *self._bent, how, borderMode=cv2.BORDER_REPLICATE), np.uint8)

    def to_shown(self, maps: Floats) -> Floats:
        """Maps (..., 3, 3) between these pictures as maps between the shown ones."""
        off = (self.scale - 1) / 2  # pixel 0 has its centre at 0
        enlarge = np.array([[self.scale, 0, off], [0, self.scale, off], [0, 0, 1.0]])
        shown = enlarge @ maps @ np.linalg.inv(enlarge)
        return np.asarray(shown / shown[..., 2:, 2:])
