"""When a foot sets off or comes to rest, by the motion of its own texture and edges from frame to frame."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.strip import GroundStrip

Floats = npt.NDArray[np.float64]
Grey = npt.NDArray[np.uint8]

LEAST_RATE_HZ = 100.0
"""Between two frames that are farther apart a foot leaves its surroundings and can't be followed."""
_GAP_S = 0.0125
_AROUND_S = 0.08
_MOVES = 0.012
"""Body heights that a foot in motion goes at least within the gap of two compared frames."""
_BURST, _BURST_FRAMES = 2.2, 4
"""Times ``_MOVES`` to which the motion of a foot that leaves grows within so many pairs of frames."""
_POINTS = 60
_BACK_AND_FORTH_PX = 0.6
_SAME_TURN_PX = 0.5


@dataclass(frozen=True)
class Onset:
    """When a foot sets off, in fractions of a frame from the strip's first. ``seen``: the middle of the last
    pair of frames that still rests; ``since``: where the rising motion began along a straight line.
    """

    seen: float
    since: float


def sets_off(
    strip: GroundStrip, streak: Streak, height_px: float, rate_hz: float, forwards: float
) -> Onset | None:
    """When the tip of a standing foot sets off; None where it is not seen to."""
    gap = max(1, round(_GAP_S * rate_hz))
    first = streak.begin + int(0.4 * (streak.end - streak.begin))
    last = min(len(strip.picture), streak.end + round(_AROUND_S * rate_hz))
    window = _Window(strip, streak.tip, height_px, forwards, ahead=0.04, over=0.10)
    rise = _rise(window.motion(first, last, gap), gap, height_px, rate_hz)
    if rise is None:
        return None
    to_event = first + gap - 0.5
    return Onset(to_event + rise[0], to_event + rise[1])


def comes_to_rest(
    strip: GroundStrip, streak: Streak, height_px: float, rate_hz: float, forwards: float
) -> float | None:
    """When a landing foot comes to rest, in fractions of a frame from the strip's first; None where that is
    not seen.
    """
    gap = max(1, round(_GAP_S * rate_hz))
    first = max(0, streak.begin - round(_AROUND_S * rate_hz))
    last = min(len(strip.picture), streak.begin + int(0.6 * (streak.end - streak.begin)))
    window = _Window(strip, streak.column, height_px, forwards, ahead=0.10, over=0.08)
    rise = _rise(window.motion(first, last, gap)[::-1], gap, height_px, rate_hz)
    return None if rise is None else last - gap - 0.5 - rise[1]


class _Window:
    """The surroundings of a foot in the band, and the place in them that it stands on."""

    def __init__(
        self,
        strip: GroundStrip,
        column: float,
        height_px: float,
        forwards: float,
        ahead: float,
        over: float,
    ) -> None:
        """``ahead``, ``over``: body heights before and above the place in which its points are looked for."""
        self._strip = strip
        pad = int(0.12 * height_px) + 8
        near, far = sorted((column - forwards * 0.12 * height_px, column + forwards * ahead * height_px))
        ground = strip.ground_row(column)
        rows, width = strip.bare.shape
        left, right = int(np.clip(near - pad, 0, width - 6)), int(np.clip(far + pad, 6, width))
        top = int(np.clip(ground - over * height_px - pad, 0, rows - 6))
        bottom = int(np.clip(ground + 0.03 * height_px + pad, top + 6, rows))
        self._cut = (slice(top, bottom), slice(left, right))
        self._place = np.array([column - left, ground - 0.01 * height_px - top])
        self._bare = cv2.GaussianBlur(strip.bare[self._cut].astype(np.float32), (3, 3), 0.7)
        self._over = np.maximum(6.0, 3.0 * strip.spread[self._cut])
        self._own = np.zeros(self._bare.shape, bool)
        self._own[
            max(0, int(ground - over * height_px - top)) : int(ground + 0.03 * height_px - top) + 1,
            max(0, int(near - left)) : int(far - left) + 1,
        ] = True
        side = int(np.clip(0.06 * height_px, 5, 15)) | 1
        self._side = (side, side)

    def motion(self, first: int, last: int, gap: int) -> Floats:
        """How far the foot's motion carries the place it stands on from each frame to that ``gap`` later, px;
        nan where too little of the foot could be followed. Shape (last - first - gap,).
        """
        pictures = [self._picture(frame) for frame in range(first, last)]
        count = max(0, last - first - gap)
        return np.array([self._moved(pictures[n], pictures[n + gap]) for n in range(count)])

    def _picture(self, frame: int) -> Grey:
        part = self._strip.band.pictures[frame][self._cut] / np.float32(self._strip.gains[frame])
        soft = cv2.GaussianBlur(part.astype(np.float32), (3, 3), 0.7)
        out: Grey = np.clip(soft + 0.5, 0, 255).astype(np.uint8)
        return out

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
        if (distinct > 0).sum() < 6:
            return np.zeros((0, 1, 2), np.float32)
        rows, columns = np.nonzero(distinct >= max(1e-5, np.quantile(distinct[distinct > 0], 0.6)))
        best = np.argsort(-distinct[rows, columns], kind="stable")[:_POINTS]
        return np.stack([columns[best], rows[best]], axis=1).astype(np.float32)[:, None]


def _rise(moved: Floats, gap: int, height_px: float, rate_hz: float) -> tuple[float, float] | None:
    """Where motion begins and stays: its first frame, and that where it began along a straight line; None
    where it does not.
    """
    known = np.isfinite(moved)
    least = max(_MOVES * height_px * gap / (_GAP_S * rate_hz), 0.5)
    moves = np.flatnonzero(known & (moved > least))
    coarse = next((int(n) for n in moves if _sets_off_at(moved, int(n), gap, least)), None)
    if coarse is None:
        return None
    before = moved[max(0, coarse - round(0.05 * rate_hz) - gap) : max(1, coarse - 2)]
    before = before[np.isfinite(before)]
    rest, spread = 0.0, 0.1
    if len(before) > 2:
        rest = float(np.median(before))
        spread = 1.4826 * float(np.median(np.abs(before - rest)))
    still = known & (moved <= rest + max(0.2, 3.0 * spread))
    at = coarse
    while at > 0 and coarse - at < gap + 4 and not still[at - 1]:
        at -= 1
    peak = coarse + int(np.nanargmax(moved[coarse : coarse + 4 + gap]))
    places = at + np.flatnonzero(known[at : min(at + max(2, gap + 1), max(peak, at + 1) + 1)])
    over = moved[places] - rest
    return float(at), _zero(places, over, at - 2.0, at + 1.0)


def _sets_off_at(moved: Floats, n: int, gap: int, least: float) -> bool:
    """Whether what moves in pair ``n`` goes on: for some frames, or ever faster until it is out of sight and
    what lies behind is followed in its stead.
    """
    part = moved[n : n + 4 + gap]
    part = part[np.isfinite(part)]
    lasts = len(part) >= min(2, len(moved) - n) and np.mean(part > least) >= 0.8
    ahead = moved[n : n + _BURST_FRAMES]
    ahead = ahead[np.isfinite(ahead)]
    rising = ahead[: int(np.argmax(ahead)) + 1]
    return bool(lasts or ((np.diff(rising) > 0).all() and rising[-1] > _BURST * least))


def _zero(places: npt.NDArray[np.int64], values: Floats, low: float, high: float) -> float:
    """Where the line through rising values was 0, from ``low`` to ``high``; one before ``high`` if none."""
    if len(places) < 2:
        return high - 1.0
    slope, offset = np.polyfit(places.astype(np.float64), values, 1)
    return float(np.clip(-offset / slope, low, high)) if slope > 0 else high - 1.0
