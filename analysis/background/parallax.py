"""How near and far background part company: the sign of a camera that walks instead of turning."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.background.pictures import Floats

_COLUMNS, _ROWS = 8, 6
_FEWEST, _ENOUGH = 3, 8
_AGREE_PX, _AGREE_SHARE = 1.5, 0.25


def cell_offsets(places: Floats, offsets: Floats, shape: tuple[int, ...]) -> Floats:
    """Per cell of the picture the middle of ``offsets`` (n, 2) at ``places`` (n, 2); nan where fewer than
    three are there or where they disagree, as things that move by themselves do.
    """
    if not len(places):
        return np.full((_COLUMNS * _ROWS, 2), np.nan)
    column = np.clip(places[:, 0] * _COLUMNS / shape[1], 0, _COLUMNS - 1).astype(int)
    row = np.clip(places[:, 1] * _ROWS / shape[0], 0, _ROWS - 1).astype(int)
    return middles(row * _COLUMNS + column, offsets, _COLUMNS * _ROWS)


def middles(cell: npt.NDArray[np.int64], offsets: Floats, cells: int) -> Floats:
    """The middle of the offsets (n, 2) of each of so many cells, (cells, 2), nan as ``cell_offsets`` has it;
    ``cell``: (n,), to which each belongs.
    """
    out = np.full((cells, 2), np.nan)
    for number in np.unique(cell):
        these = offsets[cell == number]
        if len(these) < _FEWEST:
            continue
        middle = np.median(these, axis=0)
        scatter = float(np.median(np.linalg.norm(these - middle, axis=1)))
        if scatter <= max(_AGREE_PX, _AGREE_SHARE * float(np.linalg.norm(middle))):
            out[number] = middle
    return out


def common_px(cells: Floats) -> float:
    """How far the background lies off a map, along each axis, px; the sixth of it that is furthest off, which
    a body may fill, is left out.
    """
    sizes = np.sort(np.linalg.norm(cells[~np.isnan(cells[:, 0])], axis=1))
    kept = sizes[: max(1, len(sizes) * 5 // 6)]
    return float(np.sqrt(np.mean(kept**2) / 2)) if len(sizes) else 0.0


def parallax_px(parted: Sequence[Floats]) -> float:
    """How far a good part of the background lies off the maps, in px; ``parted``: per tied picture.

    In each picture the cell that five in six don't reach, for a body fills fewer cells than one in six, the
    ground or a wall more; or what three in four cells of one row exceed, where that is more, for the ground
    at one distance fills a row, a body a part of it. Of these the upper tenth over the pictures.
    """
    of_picture, of_row = [], []
    for cells in parted:
        sizes = np.linalg.norm(cells, axis=1)
        known = sizes[~np.isnan(sizes)]
        if len(known) >= _ENOUGH:
            of_picture.append(float(np.quantile(known, 5 / 6)))
        rows = [row[~np.isnan(row)] for row in sizes.reshape(_ROWS, _COLUMNS)]
        of_row.append(max((float(np.quantile(r, 1 / 4)) for r in rows if len(r) >= _FEWEST), default=0.0))
    return max(float(np.quantile(each, 0.9)) if each else 0.0 for each in (of_picture, of_row))
