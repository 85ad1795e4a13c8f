"""Brightness of a film around the body, cut out of the decoded frames without making colours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.film.luma import Grey, luma_of
from analysis.film.reader import FrameReader
from analysis.values.film import Film

Floats = npt.NDArray[np.float64]

TALLEST_PX = 420.0
"""A body that stands higher in the picture is followed in a smaller picture."""
_KEEP_BYTES = 50_000_000


@dataclass(frozen=True)
class Cuts:
    """``pictures``: (n, height, width) around the body. ``origins``: (n, 2) whole pixels of the smaller
    picture. ``shrink``: at most 1; a shown pixel (u, v) lies at ``(u, v) shrink - origin``.
    """

    pictures: Grey
    origins: Floats
    shrink: float


def cut_out(
    film: Film,
    first: int,
    boxes: Floats,
    height_px: float,
    step: Callable[[int], None],
    stopped: Callable[[], bool] | None,
) -> Cuts:
    """Cuts of the frames from ``first`` on. ``boxes``: (n, 4) left, top, right, bottom of the body as shown;
    ``step`` is called with the number of each frame done. Raises as FrameReader does.
    """
    shrink = min(1.0, TALLEST_PX / max(height_px, 1.0))
    boxes = boxes * shrink
    width, height = (int(np.ceil(np.max(boxes[:, 2 + axis] - boxes[:, axis]))) for axis in (0, 1))
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    origins = np.round(middle - np.array([width, height]) / 2)
    pictures = np.zeros((len(boxes), height, width), np.uint8)
    with FrameReader(film, _KEEP_BYTES, threads=1, stopped=stopped) as reader:
        for row in range(len(boxes)):
            whole = luma_of(film, reader.decoded(first + row))
            if shrink < 1.0:
                size = round(whole.shape[1] * shrink), round(whole.shape[0] * shrink)
                whole = np.asarray(cv2.resize(whole, size, interpolation=cv2.INTER_AREA), np.uint8)
            _copy(whole, origins[row].astype(int), pictures[row])
            step(row)
    return Cuts(pictures, origins, shrink)


def _copy(whole: Grey, origin: npt.NDArray[np.int_], into: Grey) -> None:
    """Cut ``into``'s size out of a picture; what lies beyond its edges stays black."""
    x, y = int(origin[0]), int(origin[1])
    left, top = max(0, -x), max(0, -y)
    right, bottom = min(into.shape[1], whole.shape[1] - x), min(into.shape[0], whole.shape[0] - y)
    if right > left and bottom > top:
        into[top:bottom, left:right] = whole[y + top : y + bottom, x + left : x + right]
