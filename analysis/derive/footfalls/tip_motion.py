"""How a foot moves, by its own texture and edges from frame to frame."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.strip import GroundStrip

Floats = npt.NDArray[np.float64]
Grey = npt.NDArray[np.uint8]

LEAST_RATE_HZ = 100.0
"""Between two frames that are farther apart a foot leaves its surroundings and can't be followed."""
_GAP_S, _LOOKS_S = 0.0125, 0.0083
_MOVES = 0.012
"""Body heights that a foot in motion goes at least within the gap of two compared frames."""
_POINTS = 60
_BACK_AND_FORTH_PX = 0.6
_SAME_TURN_PX = 0.5


def carried(
    strip: GroundStrip,
    column: float,
    height_px: float,
    rate_hz: float,
    forwards: float,
    frames: tuple[int, int],
    reach: tuple[float, float],
) -> Floats:
    """How fast the motion of a foot carries the place it stands on, in each of some frames, 0 at rest, 0.5 at
    a body height a second, towards 1 beyond; 0.5 throughout where it can't be followed. ``reach``: body
    heights before and above the place in which its points are looked for.
    """
    count = frames[1] - frames[0]
    gap = max(1, round(_GAP_S * rate_hz))
    if rate_hz < LEAST_RATE_HZ or count <= gap:
        return np.full(count, 0.5)
    window = _Window(strip, column, height_px, forwards, frames, *reach)
    begins = range(0, count - gap, max(1, round(_LOOKS_S * rate_hz)))
    moved = np.array([window.moved(one, one + gap) for one in begins])
    at = np.array(begins)
    good = np.isfinite(moved)
    if good.sum() < 3:
        return np.full(count, 0.5)
    usual = _MOVES * height_px * gap / (_GAP_S * rate_hz)
    every = np.interp(np.arange(count), at[good] + gap / 2, moved[good])
    return np.asarray(every / (every + usual), np.float64)


class _Window:
    """The surroundings of a foot in the band, and the place in them that it stands on."""

    def __init__(
        self,
        strip: GroundStrip,
        column: float,
        height_px: float,
        forwards: float,
        frames: tuple[int, int],
        ahead: float,
        over: float,
    ) -> None:
        """``ahead``, ``over``: body heights before and above the place in which its points are looked for."""
        pad = int(0.12 * height_px) + 8
        near, far = sorted((column - forwards * 0.12 * height_px, column + forwards * ahead * height_px))
        ground = strip.ground_row(column)
        rows, width = strip.bare.shape
        left, right = int(np.clip(near - pad, 0, width - 6)), int(np.clip(far + pad, 6, width))
        top = int(np.clip(ground - over * height_px - pad, 0, rows - 6))
        bottom = int(np.clip(ground + 0.03 * height_px + pad, top + 6, rows))
        cut = (slice(top, bottom), slice(left, right))
        self._place = np.array([column - left, ground - 0.01 * height_px - top])
        self._bare = cv2.GaussianBlur(strip.bare[cut].astype(np.float32), (3, 3), 0.7)
        self._over = np.maximum(6.0, 3.0 * strip.spread[cut])
        self._own = np.zeros(self._bare.shape, bool)
        self._own[
            max(0, int(ground - over * height_px - top)) : int(ground + 0.03 * height_px - top) + 1,
            max(0, int(near - left)) : int(far - left) + 1,
        ] = True
        side = int(np.clip(0.06 * height_px, 5, 15)) | 1
        self._side = (side, side)
        even = strip.band.look(slice(*frames), *cut) / strip.gains[slice(*frames), None, None]
        self._pictures = [_soft(one) for one in even.astype(np.float32)]

    def moved(self, first: int, second: int) -> float:
        """How far the foot's motion carries the place it stands on from one picture to another, px; nan where
        too little of the foot could be followed.
        """
        return self._moved(self._pictures[first], self._pictures[second])

    def _moved(self, one: Grey, two: Grey) -> float:
        points = self._points(one)
        if len(points) < 6:
            return float("nan")
        there, found, _ = cv2.calcOpticalFlowPyrLK(
            one, two, points, points.copy(), winSize=self._side, maxLevel=1
        )
        back, again, _ = cv2.calcOpticalFlowPyrLK(
            two, one, there, points.copy(), winSize=self._side, maxLevel=1
        )
        apart = np.linalg.norm((back - points)[:, 0], axis=1)
        good = (found[:, 0] > 0) & (again[:, 0] > 0) & (apart < _BACK_AND_FORTH_PX)
        if good.sum() < 5:
            return float("nan")
        turn, _ = cv2.estimateAffinePartial2D(
            points[good, 0],
            there[good, 0],
            method=cv2.RANSAC,
            ransacReprojThreshold=_SAME_TURN_PX,
            maxIters=200,
        )
        if turn is None:
            return float("nan")
        # A foot that rolls over its tip moves everywhere but there.
        return float(np.linalg.norm(turn[:, :2] @ self._place + turn[:, 2] - self._place))

    def _points(self, picture: Grey) -> npt.NDArray[np.float32]:
        """The foot's most distinct points, (n, 1, 2)."""
        differs = np.abs(picture.astype(np.float32) - self._bare) > self._over
        foot = cv2.dilate((differs & self._own).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
        distinct = np.where(foot, cv2.cornerMinEigenVal(picture, 3), 0.0)
        rows, columns = np.nonzero(distinct > 0)
        if len(rows) < 6:
            return np.zeros((0, 1, 2), np.float32)
        values = distinct[rows, columns]
        most = min(_POINTS, -(-4 * len(values) // 10), int((values >= 1e-5).sum()))
        best = np.argsort(-values, kind="stable")[:most]
        return np.stack([columns[best], rows[best]], axis=1).astype(np.float32)[:, None]


def _soft(levels: npt.NDArray[np.float32]) -> Grey:
    out: Grey = np.clip(cv2.GaussianBlur(levels, (3, 3), 0.7) + 0.5, 0, 255).astype(np.uint8)
    return out
