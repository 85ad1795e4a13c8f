"""Whether the camera stands still, found out while a film is gone through as if it did."""

from __future__ import annotations

import cv2
import numpy as np

from analysis.background.pictures import LONGEST_PX
from analysis.background.still import Stand, Stillness, even_frames
from analysis.film.luma import Grey
from analysis.values.camera import CameraPath, Lens
from analysis.values.film import Film

_FEWEST = 2


class CameraMovesError(Exception):
    """The camera does not stand still, as far as a frame tells: go through the film as one that moves."""


class StillSoFar:
    """Looks at a dozen of a film's frames as they come by."""

    def __init__(self, film: Film) -> None:
        self._last = film.frames - 1
        self._wanted = set(even_frames(0, self._last))
        self._seen: list[int] = []
        self._stand: Stand | None = None
        self._scale = max(1.0, max(film.shown_size) / LONGEST_PX)

    def look(self, number: int, picture: Grey) -> None:
        """One frame. Raises CameraMovesError where it looks elsewhere than the first."""
        if number not in self._wanted:
            return
        self._seen.append(number)
        size = round(picture.shape[1] / self._scale), round(picture.shape[0] / self._scale)
        if self._scale > 1:
            picture = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
        if self._stand is None:
            # the decoder may write over its own
            self._stand = Stand(picture.copy(), untold_holds=True)
        elif not self._stand.holds(np.ascontiguousarray(picture)):
            raise CameraMovesError

    @property
    def untold(self) -> bool:
        """Whether on one of the frames nothing in the background tells that the camera stands still."""
        return self._stand is not None and self._stand.untold

    def path(self, lens: Lens | None) -> CameraPath:
        """The path of a still camera, once the film was gone through. Raises CameraMovesError where too few
        frames were seen to tell.
        """
        if self._stand is None or len(self._seen) < _FEWEST:
            raise CameraMovesError
        return Stillness(tuple(self._seen), self._stand.away_px).path(0, self._last, self._scale, lens)
