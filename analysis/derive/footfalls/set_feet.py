"""The feet of a set position before a camera that moves, which may never show the bare ground under them.

What stood from the film's beginning is told without that ground: a pixel keeps its level while the foot
stands there, and once that has left never has it again; nor has the ground there then an edge as steep.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.standing import Levels, edge_from, slope, still_within
from analysis.derive.footfalls.strip import GroundStrip, blurred

Bools = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.int64]

_RESTS_S = 0.12
"""So long from the film's beginning it rests at least."""
_BACK, _AHEAD, _ABOVE, _BELOW = 1.1, 0.25, 0.09, 0.05
"""Body heights behind and ahead of the first step, and over and under the ground, that are looked at."""
_SHAKES_PX = 1.0
"""How far edges may be off from frame to frame where the camera was followed."""
_AHEAD_S, _GONE, _SEEN_S = 0.25, 0.85, 0.03
"""What has left is off what it was in this share of the frames that see it in so long a time, at least so
long.
"""
_AFTER_S, _SOON_S = 0.12, 0.015
"""So long the ground is looked at that shows then, from so long after a foot has left."""
_APART, _NARROWEST, _WIDEST, _FEWEST = 0.045, 0.09, 0.24, 0.015
"""Body heights between two feet's columns, that a foot is wide, and of its pixels in a column."""
_STEP = 0.05
"""Body heights on either side of where two feet that touch are parted."""
_FOREMOST, _LAST = 1 / 3, 0.7
"""Share of a foot's columns that leave last, and of what they show that is gone when the foot leaves."""
_IN_SIGHT_S = 0.1
"""A foot's tip must be seen so long after it has left, or it may have stood there longer."""


@dataclass(frozen=True)
class SetFoot:
    """``begin``, ``end``: its first and last column; ``tip``: its foremost; ``leaves``: the first frame in
    which it is gone.
    """

    begin: int
    end: int
    tip: int
    leaves: int


def set_feet(
    strip: GroundStrip, step: Streak, height_px: float, seconds: Floats, until: int, forwards: float
) -> list[SetFoot]:
    """The feet that stood from the film's beginning behind the first ``step``, or are it, and left before
    frame ``until``, those in front last; ``forwards``: 1 for a run to the right, -1 to the left.
    """
    rate = 1.0 / float(np.median(np.diff(seconds)))
    rested = max(4, round(_RESTS_S * rate))
    stop = min(len(strip.picture), until + round(_AHEAD_S * rate))
    ends = sorted(step.column + forwards * far * height_px for far in (-_BACK, _AHEAD))
    left, right = max(0, round(ends[0])), min(strip.picture.shape[1], round(ends[1]) + 1)
    ground, rows = strip.ground_row((left + right) / 2), len(strip.bare)
    top = int(np.clip(ground - _ABOVE * height_px, 0, rows - 4))
    band = slice(top, int(np.clip(ground + _BELOW * height_px, top + 4, rows)))
    if stop <= 2 * rested or right - left < 8:
        return []
    looks = strip.band.look(slice(0, stop), band, slice(left, right))
    levels = blurred(looks, strip.gains[:stop])
    kernel = np.ones((5, 5), np.uint8)
    seen = np.array([cv2.erode(one, kernel, borderValue=1) for one in (looks > 0).view(np.uint8)]) != 0
    rest: Levels = np.median(levels[:rested], axis=0)
    gone = _gone_from(levels, seen, rest, strip.noise, rested, rate)
    bare = _bare_after(levels, seen, rest, gone, rate)
    own = (slope(rest) > slope(bare) + edge_from(strip.noise)) & (gone >= 0)
    edges = cv2.dilate(own.view(np.uint8), np.ones((1, 3), np.uint8))
    foot = (edges > 0) & (gone >= 0) & (gone < until)
    shown = stop - 1 - np.argmax(seen.any(axis=1)[::-1], axis=0)  # the last frame that sees a column
    found = [
        SetFoot(left + one.begin, left + one.end, left + one.tip, one.leaves)
        for part in _parts(gone, foot, height_px, forwards)
        if (one := _foot(gone, foot, part, forwards)) is not None
        and shown[one.tip] >= min(stop - 1, one.leaves + round(_IN_SIGHT_S * rate))
    ]
    return sorted(found, key=lambda one: forwards * one.tip)


def _gone_from(levels: Levels, seen: Bools, rest: Levels, noise: float, rested: int, rate: float) -> Frames:
    """The frame from which a pixel is off what it was at rest, and stays so, (rows, w); -1 for never."""
    steep = np.hypot(*(cv2.Sobel(rest, cv2.CV_32F, *way, scale=0.125) for way in ((1, 0), (0, 1))))
    off = (np.abs(levels - rest) > still_within(noise) + _SHAKES_PX * steep) & seen
    ahead = round(_AHEAD_S * rate)
    looked, away = _in_the_next(seen, ahead), _in_the_next(off, ahead)
    stays = off & (away >= _GONE * looked) & (looked >= max(2, round(_SEEN_S * rate)))
    stays[:2] = False
    begins = np.where(stays.any(axis=0) & seen[:rested].all(axis=0), stays.argmax(axis=0), -1)
    return np.asarray(begins, np.int64)


def _in_the_next(what: Bools, frames: int) -> Frames:
    """How often it is so from each frame on, over so many frames, (n, rows, w)."""
    after = np.cumsum(what[::-1], axis=0, dtype=np.int64)[::-1]
    out = after.copy()
    out[:-frames] -= after[frames:]
    return out


def _bare_after(levels: Levels, seen: Bools, rest: Levels, gone: Frames, rate: float) -> Levels:
    """What a pixel shows once what stood there is gone; of one that stays what it shows at rest."""
    sums = np.cumsum(np.where(seen, levels, 0.0), axis=0, dtype=np.float64)
    counts = np.cumsum(seen, axis=0, dtype=np.int64)
    last = len(levels) - 1
    first = np.clip(gone + max(1, round(_SOON_S * rate)), 0, last)[None]
    stop = np.minimum(first + round(_AFTER_S * rate), last)

    def between(upto: Floats | Frames) -> Floats:
        return np.asarray(
            (np.take_along_axis(upto, stop, 0) - np.take_along_axis(upto, first, 0))[0], np.float64
        )

    level, count = between(sums), between(counts)
    known = (gone >= 0) & (count > 0)
    return np.where(known, level / np.maximum(count, 1), rest).astype(np.float32)


def _parts(gone: Frames, foot: Bools, height_px: float, forwards: float) -> list[Frames]:
    """Columns that belong to the same foot."""
    at = np.flatnonzero(foot.sum(axis=0) >= max(2, round(_FEWEST * height_px)))
    parts = np.split(at, np.flatnonzero(np.diff(at) > max(2, round(_APART * height_px))) + 1)
    parts = [half for part in parts if len(part) for half in _halves(gone, foot, part, height_px, forwards)]
    wide = [_width(part) / height_px for part in parts]
    return [part for part, one in zip(parts, wide, strict=True) if _NARROWEST <= one <= _WIDEST]


def _width(part: Frames) -> int:
    return int(part[-1] - part[0]) + 1


def _halves(gone: Frames, foot: Bools, part: Frames, height_px: float, forwards: float) -> list[Frames]:
    """Two feet that touch in the picture are parted where, going forwards, what left last is followed most
    by what left soonest: each leaves heel first.
    """
    if not _WIDEST * height_px < _width(part) <= 2 * _WIDEST * height_px:
        return [part]
    times = np.where(foot, gone, -1)[:, part].max(axis=0).astype(np.float64)
    reach = max(2, round(_STEP * height_px))
    least = max(reach, round(_NARROWEST * height_px / 2))
    drops = {
        at: forwards * (times[at - reach : at].mean() - times[at : at + reach].mean())
        for at in range(least, len(part) - least + 1)
    }
    if not drops:
        return [part]
    best = max(drops, key=lambda at: drops[at])
    return [part[:best], part[best:]] if drops[best] > 0 else [part]


def _foot(gone: Frames, foot: Bools, part: Frames, forwards: float) -> SetFoot | None:
    count = int(np.ceil(_FOREMOST * len(part)))
    last = part[-count:] if forwards > 0 else part[:count]
    times = gone[:, last][foot[:, last]]
    if len(times) == 0:
        return None
    tip = int(part[-1] if forwards > 0 else part[0])
    return SetFoot(int(part[0]), int(part[-1]), tip, round(float(np.quantile(times, _LAST))))
