"""The lens from pictures of a chequerboard."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt

from analysis.values.camera import Lens
from analysis.values.errors import MarkError
from analysis.values.words import tr

FEWEST = 3
"""Pictures in which the board must be found: fewer leave the focal length open (own)."""


@dataclass(frozen=True)
class BoardFit:
    """``lens``: as measured; ``found``: which pictures show the board, by number; ``left_px``: root mean
    square distance of the corners from where the lens puts them, px.
    """

    lens: Lens
    found: tuple[int, ...]
    left_px: float


def lens_from_chequerboard(
    pictures: Sequence[npt.NDArray[np.uint8]], columns: int = 9, rows: int = 6
) -> BoardFit:
    """The lens behind pictures of a chequerboard held at several slants.

    ``pictures``: of one size, grey (h, w) or colour (h, w, 3). ``columns``, ``rows``: of inner corners.
    OpenCV finds the corners and fits focal length, centre and one radial coefficient, whose standard
    uncertainty is that of its least squares. Raises MarkError where the board is found too seldom, or where
    pictures differ in size.
    """
    if len({picture.shape[:2] for picture in pictures}) > 1:
        raise MarkError(
            tr("The pictures of the board differ in size. Take them all from one film or setting.")
        )
    corners = [_corners(picture, columns, rows) for picture in pictures]
    found = tuple(n for n, seen in enumerate(corners) if seen is not None)
    if len(found) < FEWEST:
        raise MarkError(
            tr(
                "A board of {columns} × {rows} inner corners was found in {count} pictures; it takes "
                "{fewest}. Hold it whole in the picture, at several slants, in good light."
            ).format(columns=columns, rows=rows, count=len(found), fewest=FEWEST)
        )
    flat = np.zeros((rows * columns, 3), dtype=np.float32)
    flat[:, :2] = np.mgrid[0:columns, 0:rows].T.reshape(-1, 2)
    height, width = pictures[0].shape[:2]
    focal = float(max(width, height))
    start = np.array([[focal, 0, (width - 1) / 2], [0, focal, (height - 1) / 2], [0, 0, 1.0]])
    flags = (
        cv2.CALIB_USE_INTRINSIC_GUESS
        | cv2.CALIB_FIX_ASPECT_RATIO
        | cv2.CALIB_ZERO_TANGENT_DIST
        | cv2.CALIB_FIX_K2
        | cv2.CALIB_FIX_K3
    )
    seen: list[Any] = [corners[n] for n in found]
    left, matrix, bend, _, _, spread, _, _ = cv2.calibrateCameraExtended(
        [flat] * len(seen), seen, (width, height), start, np.zeros(5), flags=flags
    )
    k1, k1_u = float(np.ravel(bend)[0]), float(np.ravel(spread)[4])
    lens = Lens(k1, float(matrix[0, 0]), (float(matrix[0, 2]), float(matrix[1, 2])), k1_u)
    return BoardFit(lens, found, float(left))


def _corners(picture: npt.NDArray[np.uint8], columns: int, rows: int) -> Any:
    grey = picture if picture.ndim == 2 else cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    there, corners = cv2.findChessboardCornersSB(grey, (columns, rows))
    return corners if there else None
