"""Whether maps between pictures are those of a camera that turns about one place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from analysis.background.following import Points, grid, mapped
from analysis.background.pictures import Floats
from analysis.background.rolling import Rolling

SHORTEST, _PHONE, LONGEST = 0.4, 2.5, 15.0
"""Focal lengths in widths of the picture: very wide; as long as a phone's gets (a view of 23 degrees); so
long that a turn can't be told from a shift.
"""

_PLAIN_SHIFT, _TOLD_FROM = 4.0, 0.0002
"""Widths: of the focal length, of the offset by which that beats a phone's. Of two planes filmed through
phones' lenses turning cameras gave 1.8 and 0.0001 at most, those walking at 0.4 m/s or more 5.9 and 0.00025
at least.
"""

_AS_WELL = 0.0003
"""Widths by which plain shifts may be farther off maps than turns: those of walks at 0.1 to 0.5 m/s they
are nearer to, by up to 0.0002.
"""

TURNS_WITHIN = 0.0012
"""Widths of the picture within which the maps of a camera that only turns are turns: the real and rendered
ones that were looked at keep within 0.001 on a stand, in the hands within 0.004.
"""

_NO_TURN, _NO_ZOOM, _LOOKED_AT = 0.0035, 0.001, 24
"""Widths that maps are off a turn, and off a turn with zoom, of a camera that was carried; on so many maps a
zoom is tried. Films of two planes from a stand or the hands were off a turn by 0.0020 at most, the real pan,
its rows read one after the other, by 0.0025.
"""

_SLOWEST_S = 0.042
"""A picture is read out within so long, s: no longer than one lasts at 24 a second."""


@dataclass(frozen=True)
class Turning:
    """How well maps fit a camera that only turns. ``off_px``: with the best focal length that a phone has;
    ``focal``: the best of all, in widths of the picture; ``off_best_px``: what is left with that;
    ``off_zoom_px``: what is left where each map may zoom as well, 0 where no turn was far off. ``readout_s``:
    how long the rows of a picture took one after the other, as far as that was asked: 0 where a turn fits
    without. ``off_shift_px``: with a lens so long that turns are plain shifts.
    """

    off_px: float
    focal: float
    off_best_px: float
    off_shift_px: float = np.inf
    off_zoom_px: float = 0.0
    readout_s: float = 0.0

    def walks(self, width_px: int) -> bool:
        """Whether these are the maps of a camera that walks."""
        return self.shifts(width_px) or self.carried(width_px)

    def shifts(self, width_px: int) -> bool:
        """Whether only turns through a lens so long fit that they are plain shifts."""
        return self.focal > _PLAIN_SHIFT and self.off_px - self.off_best_px > _TOLD_FROM * width_px

    def carried(self, width_px: int) -> bool:
        """Whether no turn and no zoom fits."""
        return self.off_best_px > _NO_TURN * width_px and self.off_zoom_px > _NO_ZOOM * width_px

    def may_walk(self, width_px: int) -> bool:
        """Whether plain shifts fit the maps as well as turns through a phone's lens: those of a turn of a
        degree are nearly those of a walk past a wall.
        """
        return self.off_shift_px - self.off_px < _AS_WELL * width_px


def turning(maps: Floats, shape: tuple[int, ...], seconds: Floats | None = None) -> Turning:
    """Compare maps (n, 3, 3) to one picture with those of a camera that turns about its centre.

    Those are K R K^-1, with one focal length in K for all pictures (Hartley and Zisserman, Multiple View
    Geometry, section 8.4); a camera that walks past a wall makes a plain shift of it. Offsets are root mean
    squares over the picture, the upper tenth over the maps. ``seconds`` (n,): when the pictures were taken;
    where it is known and no turn fits, the rows of a picture are taken as read out one after the other (a
    rolling shutter), in the time that fits best.
    """
    width = max(shape)
    plain = _fitted(maps, shape)
    if seconds is None or len(maps) < 3 or plain.off_best_px <= TURNS_WITHIN * width:
        return _with_zoom(plain, maps, shape)
    rolling = Rolling(maps, seconds, shape)

    def off(readout_s: float) -> float:
        return _fitted(rolling.at_once(readout_s), shape, plain.focal).off_best_px

    best, _ = least(off, np.linspace(-_SLOWEST_S, _SLOWEST_S, 9))
    found = _fitted(rolling.at_once(best), shape)
    if found.off_best_px >= plain.off_best_px:
        return _with_zoom(plain, maps, shape)
    return _with_zoom(replace(found, readout_s=best), rolling.at_once(best), shape)


def _fitted(maps: Floats, shape: tuple[int, ...], focal: float | None = None) -> Turning:
    """The best turn; ``focal``: about this focal length alone, in widths."""
    places = grid(shape)
    _, seen = _near(maps, shape)
    if not len(seen):
        return Turning(0.0, 1.0, 0.0)

    def off(log_focal: float) -> float:
        return float(
            np.quantile(_off_turning(float(np.exp(log_focal)) * max(shape), places, seen, shape), 0.9)
        )

    if focal is not None:
        left = off(float(np.log(focal)))
        return Turning(left, focal, left)
    best, off_best = least(off, np.log(np.geomspace(SHORTEST, LONGEST, 13)))
    _, off_phone = least(off, np.log(np.geomspace(SHORTEST, _PHONE, 7)))
    return Turning(off_phone, float(np.exp(best)), off_best, off(float(np.log(LONGEST))))


def _near(maps: Floats, shape: tuple[int, ...]) -> tuple[Floats, Floats]:
    """The maps, and where they take places over the picture, (n, places, 2); without those that take some far
    away: there a hundredth of a pixel here is many.
    """
    places = grid(shape)
    seen = np.stack([mapped(through, places) for through in maps])
    near = np.linalg.norm(seen - places, axis=2).max(axis=1) <= 2 * max(shape)
    return maps[near], seen[near]


def _with_zoom(found: Turning, maps: Floats, shape: tuple[int, ...]) -> Turning:
    """The same, and where no turn fits what is left with zoom."""
    if found.off_best_px <= _NO_TURN * max(shape):
        return found
    near, _ = _near(maps, shape)
    some = near[:: max(1, len(near) // _LOOKED_AT)]
    off_zoom = float(np.quantile([off_turn_and_zoom_px(through, shape) for through in some], 0.9))
    return replace(found, off_zoom_px=off_zoom)


def off_turn_and_zoom_px(through: Floats, shape: tuple[int, ...]) -> float:
    """How far one map is from that of a camera that turned, zoomed or both, along each axis, px.

    The focal lengths are those of phones; what is left over is a camera that stands elsewhere.
    """
    from scipy.optimize import least_squares  # dear to load: a still camera's film needs none
    from scipy.spatial.transform import Rotation

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
    low, high = np.log(SHORTEST), np.log(_PHONE)
    begin = np.array([-shift[1], shift[0], 0.0, 0.0, 0.0])
    bounds = ([-1, -1, -0.5, low, -0.5], [1, 1, 0.5, high, 0.5])
    found = least_squares(rest, np.clip(begin, *(0.99 * np.array(bounds))), bounds=bounds)
    return float(np.sqrt(np.mean(found.fun**2)))


def least(off: Callable[[float], float], tries: Floats) -> tuple[float, float]:
    """Where a function is least, and what it is there: the best of the tries, then between its neighbours."""
    from scipy.optimize import minimize_scalar

    best = int(np.argmin([off(one) for one in tries]))
    bounds = float(tries[max(0, best - 1)]), float(tries[min(len(tries) - 1, best + 1)])
    found = minimize_scalar(off, bounds=bounds, method="bounded", options={"xatol": 0.003})
    return float(found.x), float(found.fun)


def _off_turning(focal_px: float, places: Floats, seen: Floats, shape: tuple[int, ...]) -> Floats:
    """Pixels (n,), root mean square, between ``seen`` (n, places, 2) and where the best turn of each map
    takes ``places``.
    """
    ahead = rays(places, focal_px, shape)
    back = shown(ahead @ closest_turns(ahead, rays(seen, focal_px, shape)), focal_px, shape)
    return np.asarray(np.sqrt(np.mean(np.sum((back - seen) ** 2, axis=2), axis=1)))


def rays(spots: Floats | Points, focal_px: float, shape: tuple[int, ...]) -> Floats:
    """The ways (..., 3), one long each, in which pixels (..., 2) of a picture are seen."""
    centre = np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2])
    ahead = np.concatenate([(spots - centre) / focal_px, np.ones((*spots.shape[:-1], 1))], axis=-1)
    return np.asarray(ahead / np.linalg.norm(ahead, axis=-1, keepdims=True))


def shown(ahead: Floats, focal_px: float, shape: tuple[int, ...]) -> Floats:
    """The pixels (..., 2) that see the ways (..., 3)."""
    centre = np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2])
    return np.asarray(ahead[..., :2] / ahead[..., 2:] * focal_px + centre)


def closest_turns(before: Floats, after: Floats) -> Floats:
    """Turns (n, 3, 3) that bring rays (k, 3), as rows times turn, closest to ``after`` (n, k, 3).

    Kabsch 1976.
    """
    left, _, right = np.linalg.svd(before.T @ after)
    hand = np.ones((len(after), 3))
    hand[:, 2] = np.sign(np.linalg.det(left @ right))
    return np.asarray(left * hand[:, None] @ right)
