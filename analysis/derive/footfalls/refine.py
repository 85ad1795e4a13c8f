"""The frames of touchdown and toe-off at full size: when the foot's own edges come to rest and leave it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.standing import Levels, edge_from, slope, still_within, unlike_from
from analysis.derive.footfalls.strip import GroundStrip, blurred

Floats = npt.NDArray[np.float64]

_AROUND_S = 0.07
"""So much is looked at before a touchdown and after a toe-off."""
_PLATE_S, _TIP_PLATE_S = 0.05, 0.035
"""The foot as it stands: the mean over so long, next to the event."""
_BESIDE, _BESIDE_TIP = 0.13, 0.07
_LONGEST_SHOE = 0.17
_LEAVES, _LEFT = 0.10, 0.35
"""Shares of the way from foot to bare ground between which a foot is seen to leave."""
_FEWEST_PIXELS = 4
_FEWEST_TO_COMPARE, _MISSED_TIP = 3, 0.07
"""So many contacts tell where a tip lies in a streak; body heights by which one farther back was missed."""
_UNCOVERED = 0.75


@dataclass(frozen=True, eq=False)
class _View:
    """The place around a foot from frame ``first`` on: ``levels`` (n, rows, w); ``bare`` the ground there,
    ``spread`` how far a look at it is off that; ``ground`` its row; ``noise`` of a quiet pixel.
    """

    first: int
    levels: Levels
    bare: Levels
    spread: Levels
    ground: float
    noise: float

    def low(self, above: float, below: float) -> slice:
        """Rows near the ground, px over and under it."""
        return slice(max(0, round(self.ground - above)), max(2, round(self.ground + below)))


@dataclass(frozen=True)
class Edge:
    """``frame``: of the event, in fractions of a frame from the strip's first. ``sharpness``: how quickly the
    foot goes beside how still it stands; 0 where it can't be told.
    """

    frame: float
    sharpness: float


def touchdown(strip: GroundStrip, streak: Streak, height_px: float, rate_hz: float) -> Edge:
    """Touchdown of a streak."""
    view = _around(strip, streak, streak.column, _BESIDE * height_px, height_px, rate_hz)
    begin, end = streak.begin - view.first, streak.end - view.first
    down = _event(view, view.levels, begin, end, round(_PLATE_S * rate_hz))
    return Edge(view.first + down.frame, down.sharpness)


def toe_offs(strip: GroundStrip, streak: Streak, height_px: float, rate_hz: float) -> tuple[Edge, ...]:
    """Toe-off of a streak as three ways tell it: when its edges as a whole leave, when the last few do, and
    when the ground under its tip is bare again.
    """
    view = _around(strip, streak, streak.tip, _BESIDE_TIP * height_px, height_px, rate_hz)
    begin, end, count = streak.begin - view.first, streak.end - view.first, len(view.levels)
    plate = round(_TIP_PLATE_S * rate_hz)
    out = []
    for until in (end, max(end, _last_to_leave(view, begin, end, plate, height_px))):
        up = _event(view, view.levels[::-1], count - until, count - begin, plate)
        out.append(Edge(view.first + count - 1 - up.frame, up.sharpness))
    out.append(Edge(view.first + _bare_again(view, begin, end, height_px), 0.5))
    return tuple(out)


def _around(
    strip: GroundStrip, streak: Streak, column: float, beside: float, height_px: float, rate_hz: float
) -> _View:
    around = max(2, round(_AROUND_S * rate_hz))
    first, last = max(0, streak.begin - around), min(len(strip.picture), streak.end + around)
    return _view(strip, first, last, column, beside, height_px)


def with_foremost(
    strip: GroundStrip, streaks: Sequence[Streak], height_px: float, forwards: float
) -> list[Streak]:
    """The streaks with the shoe's tip of each: its foremost edge. Where none was seen ahead, and the tip lies
    much farther back in the streak than in the run's others, it is where theirs are.
    """
    tips = [foremost(strip, one, height_px, forwards) for one in streaks]
    ahead = [forwards * (tip - one.column) for tip, one in zip(tips, streaks, strict=True)]
    usual = float(np.median(ahead)) if len(ahead) >= _FEWEST_TO_COMPARE else -np.inf
    return [
        replace(one, tip=one.column + forwards * usual)
        if tip == one.tip and far < usual - _MISSED_TIP * height_px
        else replace(one, tip=tip)
        for one, tip, far in zip(streaks, tips, ahead, strict=True)
    ]


def foremost(strip: GroundStrip, streak: Streak, height_px: float, forwards: float) -> float:
    """Column of the shoe's tip: the foremost edge near the ground that rests while the foot stands."""
    span, reach = streak.end - streak.begin, _LONGEST_SHOE * height_px
    first, last = streak.begin + round(0.3 * span), streak.begin + max(round(0.7 * span), 2)
    view = _view(strip, first, max(last, first + 2), streak.column, reach, height_px)
    column = max(0, round(streak.column) - max(4, round(reach)))
    foot = view.levels.mean(axis=0)
    own = (np.ptp(view.levels, axis=0) < still_within(view.noise)) & (
        np.abs(foot - view.bare) > np.maximum(6.0, 3.0 * view.spread)
    )
    own &= slope(foot) > slope(view.bare) + edge_from(view.noise)
    found = column + np.flatnonzero(own[view.low(0.06 * height_px, 0.04 * height_px)].sum(axis=0) >= 2)
    ahead = found[forwards * (found - streak.tip) > 0]
    return float(forwards * np.max(forwards * ahead)) if len(ahead) else streak.tip


def _last_to_leave(view: _View, begin: int, end: int, plate: int, height_px: float) -> int:
    """The frame in which the last few pixels of the foot are gone; they are fewer than what makes a stand."""
    plate = max(2, min(plate, (end - begin) * 2 // 3))
    still = view.levels[end - plate : end]
    if len(still) < 2:
        return end
    foot = still.mean(axis=0)
    contrast = np.abs(foot - view.bare)
    own = (np.ptp(still, axis=0) < still_within(view.noise)) & (contrast > np.maximum(8.0, 4.0 * view.spread))
    own &= slope(foot) > edge_from(view.noise)
    if own.sum() < _FEWEST_PIXELS:
        return end
    stays = np.abs(view.levels[:, own] - foot[own]) < np.maximum(
        0.3 * contrast[own], 0.7 * still_within(view.noise)
    )
    fewest = max(3.0, (0.02 * height_px) ** 2)
    here = np.ones(int(own.sum()), bool)
    for number in range(end, len(view.levels)):
        here &= stays[number]
        if here.sum() < fewest:
            return number
    return end


def _bare_again(view: _View, begin: int, end: int, height_px: float) -> float:
    """The frame in which most of what the shoe's tip covered near the ground shows the ground."""
    rows = view.low(0.05 * height_px, 0.03 * height_px)
    levels, bare = view.levels[:, rows], view.bare[rows]
    middle = (begin + end) // 2
    foot = levels[max(middle, end - max(2, (end - begin) // 3)) : end].mean(axis=0)
    contrast = np.abs(foot - bare)
    own = contrast > np.maximum(8.0, 4.0 * view.spread[rows])
    if own.sum() < _FEWEST_PIXELS:
        return float(end) - 0.5
    uncovered = np.abs(levels[:, own] - bare[own]) < 0.5 * contrast[own]
    gone = np.flatnonzero(uncovered.mean(axis=1)[middle:] > _UNCOVERED)
    return float(middle + gone[0]) - 0.5 if len(gone) else float(end) - 0.5


def _view(strip: GroundStrip, first: int, last: int, column: float, beside: float, height_px: float) -> _View:
    """What is seen around a place in frames ``first`` to ``last``."""
    reach = max(4, round(beside))
    left, right = max(0, round(column) - reach), min(strip.picture.shape[1], round(column) + reach + 1)
    rows, columns = strip.foot_rows(column, height_px), slice(left, right)
    levels = blurred(strip.band.look(slice(first, last), rows, columns), strip.gains[first:last])
    bare = np.asarray(cv2.blur(strip.bare[rows, columns].astype(np.float32), (3, 3)), np.float32)
    ground = strip.ground_row(column) - rows.start
    return _View(first, levels, bare, strip.spread[rows, columns], ground, strip.noise)


def _event(view: _View, levels: Levels, begin: int, end: int, plate: int) -> Edge:
    """When the foot comes to rest; ``begin``: about then, the stand ends at ``end`` (not included);
    ``levels``: of the view, in the order of time or against it.
    """
    plate = max(2, min(plate, (end - begin) * 2 // 3))
    settle = min(round(0.16 * plate), plate - 2)
    still = levels[begin + settle : begin + plate]
    if len(still) < 2:
        return Edge(float(begin), 0.0)
    foot, bare = still.mean(axis=0), view.bare
    rests = np.ptp(still, axis=0) < still_within(view.noise)
    differs = np.abs(foot - bare) > unlike_from(view.spread)
    steep = slope(foot) + np.abs(cv2.Sobel(foot, cv2.CV_32F, 0, 1, scale=0.125))
    weight = np.where(rests & differs, np.maximum(steep - edge_from(view.noise), 0.0), 0.0)
    if (weight > 0).sum() < _FEWEST_PIXELS:
        return Edge(float(begin), 0.0)
    full = float((weight * np.abs(foot - bare)).sum())
    away = np.array([float((weight * np.abs(one - foot)).sum()) / full for one in levels])
    floor = float(np.median(away[begin + settle : begin + plate]))
    spread = float(np.std(away[begin + settle : begin + plate])) + 0.01
    low = floor + max(_LEAVES, 3.0 * spread)
    high = floor + max(_LEFT, 5.0 * spread)
    at = begin + settle
    while at > 0 and away[at - 1] < low:
        at -= 1
    if at == 0:
        return Edge(0.0, 0.0)
    far = at - 1
    while far > 0 and away[far] < high and away[far - 1] > away[far] - spread:
        far -= 1
    rise = (away[far] - away[at]) / (at - far)
    # back from the first frame that is away, along its slope, to where it would have been at rest
    crossing = (at - 1) + (away[at - 1] - floor) / max(rise, 1e-6) if rise > 0 else float(at)
    crossing = float(np.clip(crossing, at - 1, at + 1.0))
    return Edge(crossing, float(min(1.0, rise / (4.0 * spread))))
