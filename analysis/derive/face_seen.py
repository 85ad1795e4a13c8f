"""Whether what was followed is the face that was placed: it is looked for anew around its likely way."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import TracebackType
from typing import Self

import cv2
import numpy as np
import numpy.typing as npt

from analysis.film.luma import luma_of
from analysis.film.reader import FrameReader
from analysis.values.face_cover import FacePlace
from analysis.values.film import Film

_KEEP_BYTES = 64_000_000
_LIKE = 0.5
"""So much at least a picture of the face correlates with the one that was placed (own)."""

_NEAR = 0.35
"""Within so many of the face's heights of where it was followed to it is found again (own)."""

_LEAST_PX = 4

Grey = npt.NDArray[np.float32]


class FaceSeen:
    """Looks at a film's pictures for a face as it was placed on some of its frames.

    Made, used and closed on one thread. Raises as FrameReader does.
    """

    def __init__(self, film: Film, stopped: Callable[[], bool] | None = None) -> None:
        self._film = film
        self._reader = FrameReader(film, _KEEP_BYTES, threads=1, stopped=stopped)
        self._faces: dict[FacePlace, Grey] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._reader.close()

    def agrees(
        self,
        frame: int,
        followed: tuple[float, float],
        way: FacePlace,
        slack: tuple[float, float],
        placed: tuple[FacePlace, FacePlace],
    ) -> bool:
        """Whether what looks most like the placed face is where it was followed to. ``way``: where it is
        likely; ``slack``: how far it may be off that, px along u and v.
        """
        picture = self._grey(frame)
        reach = [math.ceil(far + 2 * half) for far, half in zip(slack, (way.half_u, way.half_v), strict=True)]
        window, left, top = _cut(picture, way.u, way.v, reach[0], reach[1])
        for place in placed:
            face = self._face(place)
            if min(face.shape) < _LEAST_PX or any(
                w < f for w, f in zip(window.shape, face.shape, strict=True)
            ):
                continue
            likeness = cv2.matchTemplate(window, face, cv2.TM_CCOEFF_NORMED)
            _, best, _, (column, row) = cv2.minMaxLoc(likeness)
            height, width = face.shape
            u, v = left + column + (width - 1) / 2, top + row + (height - 1) / 2
            away = math.hypot(u - followed[0], v - followed[1])
            if best >= _LIKE and away <= _NEAR * 2 * way.half_v:
                return True
        return False

    def _face(self, place: FacePlace) -> Grey:
        if place not in self._faces:
            self._faces[place], _, _ = _cut(
                self._grey(int(place.frame)), place.u, place.v, round(place.half_u), round(place.half_v)
            )
        return self._faces[place]

    def _grey(self, frame: int) -> Grey:
        return np.asarray(luma_of(self._film, self._reader.decoded(frame)), np.float32)


def _cut(picture: Grey, u: float, v: float, half_u: int, half_v: int) -> tuple[Grey, int, int]:
    """A piece of a picture around a place, and its left and upper edge; smaller at the picture's edges."""
    height, width = picture.shape
    left, right = max(0, round(u) - half_u), min(width, round(u) + half_u + 1)
    top, bottom = max(0, round(v) - half_v), min(height, round(v) + half_v + 1)
    return picture[top : max(top, bottom), left : max(left, right)], left, top
