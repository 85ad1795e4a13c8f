"""How near and far background part company: the sign of a camera that walks instead of turning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares, minimize_scalar
from scipy.spatial.transform import Rotation

from analysis.background.following import grid, mapped
from analysis.background.pictures import Floats

_SHORTEST, _PHONE, _LONGEST = 0.4, 2.5, 15.0
"""Focal lengths in widths of the picture: very wide; as long as a phone's gets (a view of 23 degrees); so
long that a turn can't be told from a shift.
"""

_PLAIN_SHIFT, _TOLD_FROM = 4.0, 0.0008
"""Widths: of the focal length, of the offset by which that beats a phone's."""

_NO_TURN, _NO_ZOOM, _LOOKED_AT = 0.01, 0.0015, 24
"""Widths that maps are off a turn, and off a turn with zoom, of a camera that was carried so far that the
running line is some 3 % of the picture off; on so many maps a zoom is tried.
"""

_COLUMNS, _ROWS = 8, 6
_FEWEST = 3
_AGREE_PX, _AGREE_SHARE = 1.5, 0.25


def cell_offsets(places: Floats, offsets: Floats, shape: tuple[int, ...]) -> Floats:
    """Per cell of the picture the middle of ``offsets`` (n, 2) at ``places`` (n, 2); nan where fewer than
    three are there or where they disagree, as things that move by themselves do.
    """
    out = np.full((_COLUMNS * _ROWS, 2), np.nan)
    if not len(places):
        return out
    column = np.clip(places[:, 0] * _COLUMNS / shape[1], 0, _COLUMNS - 1).astype(int)
    row = np.clip(places[:, 1] * _ROWS / shape[0], 0, _ROWS - 1).astype(int)
    cell = row * _COLUMNS + column
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

    In each picture the cell that five in six don't reach; of these the upper tenth over the pictures. A body
    fills fewer cells than one in six, the ground or a wall more.
    """
    per_picture = []
    for cells in parted:
        sizes = np.linalg.norm(cells[~np.isnan(cells[:, 0])], axis=1)
        if len(sizes) >= 8:
            per_picture.append(float(np.quantile(sizes, 5 / 6)))
    return float(np.quantile(per_picture, 0.9)) if per_picture else 0.0


@dataclass(frozen=True)
class Turning:
    """How well maps fit a camera that only turns. ``off_px``: with the best focal length that a phone has;
    ``focal``: the best of all, in widths of the picture; ``off_best_px``: what is left with that;
    ``off_zoom_px``: what is left where each map may zoom as well, 0 where no turn was far off.
    """

    off_px: float
    focal: float
    off_best_px: float
    off_zoom_px: float = 0.0

    def walks(self, width_px: int) -> bool:
        """Whether these are the maps of a camera that walks: no turn and no zoom fits, or only a turn through
        a lens so long that its turns are plain shifts.
        """
        shifts = self.focal > _PLAIN_SHIFT and self.off_px - self.off_best_px > _TOLD_FROM * width_px
        carried = self.off_best_px > _NO_TURN * width_px and self.off_zoom_px > _NO_ZOOM * width_px
        return shifts or carried


def turning(maps: Floats, shape: tuple[int, ...]) -> Turning:
    """Compare maps (n, 3, 3) to one picture with those of a camera that turns about its centre.

    Those are K R K^-1, with one focal length in K for all pictures (Hartley and Zisserman, Multiple View
    Geometry, section 8.4); a camera that walks past a wall makes a plain shift of it. Offsets are root mean
    squares over the picture, the upper tenth over the maps.
    """
    places = grid(shape)
    seen = np.stack([mapped(through, places) for through in maps])
    far = np.linalg.norm(seen - places, axis=2).max(axis=1)
    seen = seen[far <= 2 * max(shape)]  # beyond, a hundredth of a pixel here is many there

    def off(log_focal: float) -> float:
        focal_px = float(np.exp(log_focal)) * max(shape)
        return float(np.quantile([_off_turning(focal_px, places, there, shape) for there in seen], 0.9))

    best, off_best = _least(off, np.log(np.geomspace(_SHORTEST, _LONGEST, 13)))
    _, off_phone = _least(off, np.log(np.geomspace(_SHORTEST, _PHONE, 7)))
    off_zoom = 0.0
    if off_best > _NO_TURN * max(shape):
        some = maps[far <= 2 * max(shape)][:: max(1, len(seen) // _LOOKED_AT)]
        off_zoom = float(np.quantile([off_turn_and_zoom_px(through, shape) for through in some], 0.9))
    return Turning(off_phone, float(np.exp(best)), off_best, off_zoom)


def off_turn_and_zoom_px(through: Floats, shape: tuple[int, ...]) -> float:
    """How far one map is from that of a camera that turned, zoomed or both, along each axis, px.

    The focal lengths are those of phones; what is left over is a camera that stands elsewhere.
    """
    width = max(shape)
    places = grid(shape)
    centre = np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2])
    there = mapped(through, places)

    def rest(turn: Floats) -> Floats:
        focal = width * np.exp(turn[3])
        rays = np.c_[(places - centre) / (focal * np.exp(turn[4])), np.ones(len(places))]
        aims = Rotation.from_rotvec(turn[:3]).apply(rays)
        return np.asarray((aims[:, :2] / aims[:, 2:] * focal + centre - there).ravel())

    shift = (there - places).mean(axis=0) / width
    low, high = np.log(_SHORTEST), np.log(_PHONE)
    begin = np.array([-shift[1], shift[0], 0.0, 0.0, 0.0])
    bounds = ([-1, -1, -0.5, low, -0.5], [1, 1, 0.5, high, 0.5])
    found = least_squares(rest, np.clip(begin, *(0.99 * np.array(bounds))), bounds=bounds)
    return float(np.sqrt(np.mean(found.fun**2)))


def _least(off: Callable[[float], float], tries: Floats) -> tuple[float, float]:
    """Where a function is least, and what it is there: the best of the tries, then between its neighbours."""
    best = int(np.argmin([off(one) for one in tries]))
    bounds = float(tries[max(0, best - 1)]), float(tries[min(len(tries) - 1, best + 1)])
    found = minimize_scalar(off, bounds=bounds, method="bounded", options={"xatol": 0.003})
    return float(found.x), float(found.fun)


def _off_turning(focal_px: float, places: Floats, there: Floats, shape: tuple[int, ...]) -> float:
    """Pixels, root mean square, between ``there`` (n, 2) and where the best turn takes ``places``."""
    centre = np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2])
    rays, seen = (np.c_[(spots - centre) / focal_px, np.ones(len(spots))] for spots in (places, there))
    units, aims = (these / np.linalg.norm(these, axis=1, keepdims=True) for these in (rays, seen))
    left, _, right = np.linalg.svd(units.T @ aims)  # Kabsch 1976: the turn that brings rays closest to rays
    turned = rays @ (left @ np.diag([1, 1, np.sign(np.linalg.det(left @ right))]) @ right)
    back = turned[:, :2] / turned[:, 2:] * focal_px + centre
    return float(np.sqrt(np.mean(np.sum((back - there) ** 2, axis=1))))
