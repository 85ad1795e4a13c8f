"""Whether pictures that are laid together by plain shifts agree on the ground under a runner's feet.

A camera that walks past a wall makes plain shifts of the wall too. But what is near shifts more than what is
far: ground and what stands on it then part from the wall, which a window that moves over a picture leaves as
they are. Bare ground tells neither.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.background.pictures import Floats, Grey
from analysis.background.shaping import Levels, middle_of_seen, resized

_LOOKED_AT = 16
_SMALL_PX = 640
_ROWS, _COLUMNS = 24, 16
"""Cells over a picture."""
_PARTS = 0.05
"""Share of its shift by which a cell would be off where it parts from the others; so much is to be seen."""
_LEAST_PX, _FEWEST_SEE = 2.0, 4
_TELLS, _LEAST_LEVELS = 3.0, 2.0
"""Times its residual, and grey levels, that a cell moved so far would be off by."""
_PARTED, _PARTED_LEVELS = 4.0, 2.5
_BODY_LEVELS, _BODY_NOISE, _BODY_SHARE = 8.0, 5.0, 0.004
"""Grey levels, and times what is usually left, by which a body differs; its share of the picture at least."""
_OVER_FEET, _LOWEST = 0.03, 0.9
"""Heights of the picture over the feet from which on what stands is taken to stand where they run; and from
which on whatever there is lies near, though a shining floor may show feet still lower.
"""


@dataclass(frozen=True, eq=False)
class Laid:
    """Of each band of rows, from the top: how many cells show that they lie as the others do (``alike``) and
    how many that they don't (``parted``). ``feet``: the row, in heights of the picture, on which what moves
    through it stands; nan where nothing does.
    """

    alike: npt.NDArray[np.int64]
    parted: npt.NDArray[np.int64]
    feet: float

    @property
    def one_shift(self) -> bool:
        """Whether what stands on the ground where somebody runs, or nearer, shifts as all else does; those
        who move farther back tell nothing.
        """
        if not np.isfinite(self.feet):
            return False
        tells = (self.alike >= 2) & (self.alike >= self.parted)
        low = (np.arange(len(tells)) + 1) / len(tells) > min(self.feet - _OVER_FEET, _LOWEST)
        parts = (self.parted >= 3) & (self.parted > self.alike)
        return bool((tells & low).any() and not (parts & low).any())


def laid_together(picture: Callable[[int], Grey], shift_px: Floats) -> Laid:
    """Lay some pictures together. ``shift_px``: (n, 2), of each of them; ``picture``: makes one of these."""
    some = _spread(shift_px)
    first = picture(int(some[0]))
    less = min(1.0, _SMALL_PX / max(first.shape))
    size = round(first.shape[1] * less), round(first.shape[0] * less)
    at = (shift_px[some] - shift_px[some].min(axis=0)) * less
    span = np.ceil(at.max(axis=0)).astype(int)
    room = size[0] + int(span[0]) + 1, size[1] + int(span[1]) + 1
    looks: npt.NDArray[np.uint8] = np.zeros((len(some), room[1], room[0]), np.uint8)
    for number, (frame, place) in enumerate(zip(some, at, strict=True)):
        small = np.maximum(cv2.GaussianBlur(resized(picture(int(frame)), size), (0, 0), 0.8), 1)
        onto = np.array([[1.0, 0.0, place[0]], [0.0, 1.0, place[1]]])
        cv2.warpAffine(small, onto, room, dst=looks[number], flags=cv2.INTER_LINEAR)
        seen = cv2.warpAffine(np.full(small.shape, 255, np.uint8), onto, room, flags=cv2.INTER_NEAREST)
        looks[number][cv2.erode(seen, np.ones((5, 5), np.uint8), borderValue=0) == 0] = 0
    ground = middle_of_seen(looks, looks > 0, _FEWEST_SEE)
    return _judged(looks, ground, at, size)


def _spread(shift_px: Floats) -> npt.NDArray[np.int64]:
    """Pictures as far apart as may be, each once."""
    way = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(shift_px, axis=0), axis=1))])
    wanted = np.linspace(0.0, way[-1], min(_LOOKED_AT, len(way)))
    return np.unique(np.searchsorted(way, wanted).clip(0, len(way) - 1))


def _judged(looks: npt.NDArray[np.uint8], ground: Levels, at: Floats, size: tuple[int, int]) -> Laid:
    high, wide = max(4, size[1] // _ROWS), max(8, size[0] // _COLUMNS)
    top, bottom = int(np.ceil(at[:, 1].max())), int(at[:, 1].min()) + size[1]  # rows that all see
    off, would, bands = [], [], []
    for row in range(top, bottom - high + 1, high):
        for column in range(0, ground.shape[1] - wide + 1, wide):
            part = slice(row, row + high), slice(column, column + wide)
            sees = (looks[:, *part] > 0).all(axis=(1, 2))
            if sees.sum() < _FEWEST_SEE or not np.isfinite(ground[part]).all():
                continue
            apart = looks[sees][:, *part] - ground[part]
            off.append(float(np.median(_rough(apart))))
            would.append(_moved(ground, part, _PARTS * float(np.ptp(at[sees, 0]))))
            bands.append((row + high // 2 - top) * _ROWS // (bottom - top))
    alike, parted = np.zeros((2, _ROWS), np.int64)
    if off:
        residual, moved = np.array(off), np.array(would)
        usual = float(np.quantile(residual, 0.3))
        tells = (moved > _TELLS * residual) & (moved > _LEAST_LEVELS)
        parts = (residual > max(_PARTED * usual, _PARTED_LEVELS)) & ~tells
        np.add.at(alike, np.array(bands)[tells], 1)
        np.add.at(parted, np.array(bands)[parts], 1)
    return Laid(alike, parted, _feet(looks, ground, at, size))


def _rough(apart: Levels) -> Levels:
    """Root mean square (n,) over cells (n, rows, columns), but for what all of a row have in common."""
    plain = apart - apart.mean(axis=2, keepdims=True)
    return np.asarray(np.sqrt(np.mean(plain**2, axis=(1, 2))), np.float32)


def _moved(ground: Levels, part: tuple[slice, slice], by_px: float) -> float:
    """How far off a cell would be that were moved along, to the side where it is less."""
    by = round(max(by_px, _LEAST_PX))
    rows, columns = part
    found = []
    for way in (-by, by):
        if columns.start + way < 0 or columns.stop + way > ground.shape[1]:
            continue
        other = ground[rows, columns.start + way : columns.stop + way]
        if np.isfinite(other).all():
            found.append(float(_rough((other - ground[part])[None])[0]))
    return min(found, default=0.0)


def _feet(looks: npt.NDArray[np.uint8], ground: Levels, at: Floats, size: tuple[int, int]) -> float:
    lowest = []
    for look, place in zip(looks, at, strict=True):
        off = np.abs(look - ground)
        seen = (look > 0) & np.isfinite(off)
        over = max(_BODY_LEVELS, _BODY_NOISE * float(np.median(off[seen]))) if seen.any() else np.inf
        other = (seen & (off > over)).astype(np.uint8)
        other = cv2.morphologyEx(other, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
        other = cv2.morphologyEx(other, cv2.MORPH_CLOSE, np.ones((9, 5), np.uint8))
        count, _, stats, _ = cv2.connectedComponentsWithStats(other)
        if count < 2:
            continue
        largest = stats[1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))]
        if largest[cv2.CC_STAT_AREA] > _BODY_SHARE * size[0] * size[1]:
            end = largest[cv2.CC_STAT_TOP] + largest[cv2.CC_STAT_HEIGHT] - place[1]
            lowest.append(float(end / size[1]))
    return float(np.quantile(lowest, 0.75)) if lowest else float("nan")
