"""A filter over each of many small pictures in one call: one below the other, each with its own border."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
import numpy.typing as npt

Levels = npt.NDArray[np.float32]
Bools = npt.NDArray[np.bool_]
Frames = npt.NDArray[np.uint8]


def blurred_each(pictures: Levels) -> Levels:
    """The mean of the 3 by 3 pixels around each, (n, rows, w)."""
    return _each(pictures, lambda tall: np.asarray(cv2.blur(tall, (3, 3)), np.float32))


def slope_each(pictures: Levels) -> Levels:
    """How steep the brightness is along the line, grey levels per pixel, (n, rows, w)."""
    return _each(
        pictures, lambda tall: np.abs(np.asarray(cv2.Sobel(tall, cv2.CV_32F, 1, 0, scale=0.125), np.float32))
    )


def grown_each(pixels: Bools, rows: int, columns: int) -> Bools:
    """Pixels with one of ``pixels`` within so many rows and columns, (n, rows, w)."""
    count, height, width = pixels.shape
    tall = np.zeros((count, height + rows, width), np.uint8)  # none of one picture's reach the next
    tall[:, :height] = pixels
    kernel = np.ones((2 * rows + 1, 2 * columns + 1), np.uint8)
    grown = cv2.dilate(tall.reshape(-1, width), kernel)
    return np.asarray(grown).reshape(tall.shape)[:, :height] > 0


def share_of(pictures: Levels | Frames, share: float) -> Levels:
    """Each pixel's level under which such a share of the pictures' lies, (rows, w); a half: the middle."""
    # sorting a few whole pictures is several times as quick as partitioning pixel by pixel
    ordered = np.sort(pictures, axis=0)
    at = share * (len(ordered) - 1)
    low = int(at)
    high, part = min(low + 1, len(ordered) - 1), np.float32(at - low)
    return np.asarray(ordered[low] * (1 - part) + ordered[high] * part, np.float32)


def _each(pictures: Levels, over: Callable[[Levels], Levels]) -> Levels:
    """As OpenCV does with each alone: beyond its border a picture goes on mirrored."""
    count, height, width = pictures.shape
    inner = min(1, height - 1)
    tall = np.empty((count, height + 2, width), np.float32)
    tall[:, 1:-1] = pictures
    tall[:, 0], tall[:, -1] = pictures[:, inner], pictures[:, height - 1 - inner]
    return over(tall.reshape(-1, width)).reshape(tall.shape)[:, 1:-1]
