"""Corners of the background, and where another picture shows them."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from analysis.background.pictures import Floats, Grey

Bools = npt.NDArray[np.bool_]
Points = npt.NDArray[np.float32]

BACK_WITHIN_PX = 0.7
"""A corner that was followed there and back again lies this close to where it was."""

_QUALITY = 0.004
_ENDS = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 20, 0.02)


def corners(picture: Grey, most: int, apart_px: int, mask: Grey | None = None) -> Points:
    """Places (n, 2) that can be found again; ``mask``: 0 where none is wanted.

    Taken from each quarter of the picture in turn, so that a rich corner doesn't take them all.
    """
    height, width = picture.shape
    rows, columns = 2, 3
    found = []
    for row in range(rows):
        for column in range(columns):
            top, bottom = row * height // rows, (row + 1) * height // rows
            left, right = column * width // columns, (column + 1) * width // columns
            part = None if mask is None else np.ascontiguousarray(mask[top:bottom, left:right])
            there = cv2.goodFeaturesToTrack(
                picture[top:bottom, left:right], most // (rows * columns), _QUALITY, apart_px, mask=part
            )
            if there is not None:
                corner = np.array([left, top], np.float32)
                found.append(np.asarray(there, np.float32).reshape(-1, 2) + corner)
    return np.concatenate(found) if found else np.empty((0, 2), np.float32)


def follow(
    before: Grey, after: Grey, places: Points, window: int, levels: int, back_px: float = BACK_WITHIN_PX
) -> tuple[Points, Bools]:
    """Where ``after`` shows the places (n, 2), and which of them came back to themselves."""
    if not len(places):
        return np.empty((0, 2), np.float32), np.zeros(0, np.bool_)
    size = (window, window)
    there, ok, _ = cv2.calcOpticalFlowPyrLK(
        before, after, places, places.copy(), winSize=size, maxLevel=levels, criteria=_ENDS,
        flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
    )  # fmt: skip
    back, ok_back, _ = cv2.calcOpticalFlowPyrLK(
        after, before, there, places.copy(), winSize=size, maxLevel=levels, criteria=_ENDS,
        flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
    )  # fmt: skip
    near = np.linalg.norm(back - places, axis=1) < back_px
    good = near & (ok.ravel() > 0) & (ok_back.ravel() > 0)
    return np.asarray(there, np.float32), np.asarray(good, np.bool_)


def mapped(through: Floats, places: Floats | Points) -> Floats:
    """Places (n, 2) taken through a map (3, 3)."""
    full = np.asarray(places, np.float64) @ through[:, :2].T + through[:, 2]
    return np.asarray(full[:, :2] / full[:, 2:])


def grid(shape: tuple[int, ...], columns: int = 6, rows: int = 4) -> Floats:
    """Places (n, 2) spread over a picture of this shape (height, width), edges included."""
    u, v = np.meshgrid(np.linspace(0, shape[1] - 1, columns), np.linspace(0, shape[0] - 1, rows))
    return np.stack([u.ravel(), v.ravel()], -1)


def rms(offsets: Floats) -> float:
    """Root of the mean square along one axis, of offsets (n, 2)."""
    return float(np.sqrt(np.mean(np.square(offsets)))) if offsets.size else 0.0
