"""The strip as it is painted: rows of frames spread over the time axis, columns gathered to the width."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PySide6.QtGui import QColor, QImage

from app.theme.tokens import Theme

_BRIGHTEST = 110.0
"""A level from which on the ink is full: a body over the ground differs so much and more (own)."""


def used_columns(levels: npt.NDArray[np.uint8]) -> tuple[int, int]:
    """First and one past the last column in which anything ever differs from the bare ground."""
    used = np.flatnonzero((levels > 12).any(axis=0))
    return (0, levels.shape[1]) if used.size < 2 else (int(used[0]), int(used[-1]) + 1)


def painted(
    levels: npt.NDArray[np.uint8],
    frames: npt.NDArray[np.int64],
    columns: tuple[int, int],
    width: int,
    theme: Theme,
) -> QImage:
    """An image ``width`` wide with a row for each of ``frames`` (-1: none), darker where more differs.

    Where several frames or columns fall on a pixel the strongest is shown, so that no streak is lost.
    """
    begin, end = columns
    edges = np.linspace(begin, end, width + 1)[:-1].astype(int)
    gathered = np.maximum.reduceat(levels[:, begin:end], np.clip(edges - begin, 0, end - begin - 1), axis=1)
    rows = np.clip(frames, 0, len(levels) - 1)
    picked = gathered[rows]
    # zoomed out, frames between two rows count with the earlier one
    for place in np.flatnonzero((np.diff(rows) > 1) & (frames[:-1] >= 0)):
        picked[place] = gathered[rows[place] : rows[place + 1]].max(axis=0)
    picked[frames < 0] = 0
    share = np.clip(picked / _BRIGHTEST, 0.0, 1.0)[..., None]
    ground, ink = _rgb(theme.sunken), _rgb(theme.text)
    colours = np.ascontiguousarray((ground + (ink - ground) * share).astype(np.uint8))
    height = len(frames)
    return QImage(colours.data, width, height, 3 * width, QImage.Format.Format_RGB888).copy()


def _rgb(name: str) -> npt.NDArray[np.float64]:
    colour = QColor(name)
    return np.array([colour.red(), colour.green(), colour.blue()], np.float64)
