"""Upright streaks of the strip, and the chain of them that makes a run."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.strip import GroundStrip
from analysis.values.run import Direction

Floats = npt.NDArray[np.float64]

_SHOE = 0.07
"""Half a shoe in body heights: columns so far away belong to the same foot."""
_LONGEST_S, _SHORTEST_S = 0.42, 0.055
_REACH = 0.75
_STEP_S = (0.11, 0.42)
_STEP_HEIGHTS = (0.22, 1.75)
_MOST = 70
_FAINT, _FAINT_FROM_HZ = 0.6, 45.0
"""Of the contrast of this film's feet; what shows less of it is a shadow, a mirror or what coding leaves. Of
fewer frames a second too few show a foot by itself.
"""
_TIP = 0.16


@dataclass(frozen=True)
class Streak:
    """``begin`` to ``end``: frames in which something stands there, the last not included; ``column`` of the
    strip; ``tip``: column of what leaves last; ``score``: how much it looks like a foot.
    """

    begin: int
    end: int
    column: float
    tip: float
    score: float


def find_streaks(strip: GroundStrip, body: BodyPath, seconds: Floats) -> list[Streak]:
    """Streaks near the body; those that overlap are all given where they are not much the same."""
    runs = _runs(strip.stands >= 1)
    last = len(seconds) - 1
    length = seconds[np.minimum(runs[:, 1], last)] - seconds[runs[:, 0]]
    middle = (runs[:, 0] + runs[:, 1]) // 2
    near = np.abs(runs[:, 2] - body.u[middle]) < _REACH * body.height_px
    runs = runs[near & (length >= _SHORTEST_S)]
    if len(runs) == 0:
        return []
    begin, end, column = runs[:, 0], runs[:, 1], runs[:, 2]
    start_s, end_s = seconds[begin], seconds[np.minimum(end, last)]
    length = end_s - start_s
    rows = np.array([_middle(strip.stands[b:e, c]) for b, e, c in runs])
    frame_s = float(np.median(np.diff(seconds)))
    slack = max(1.05 * frame_s, 0.012)
    half = max(2.0, _SHOE * body.height_px)
    least = (0.028 * body.height_px) ** 2
    short = np.flatnonzero(length <= _LONGEST_S)
    areas, places, shown = np.zeros((3, len(short)))
    for number, k in enumerate(short):
        beside = np.abs(column - column[k]) <= half
        starts = beside & (np.abs(start_s - start_s[k]) <= slack) & (end_s > start_s[k] + 0.5 * length[k])
        ends = beside & (np.abs(end_s - end_s[k]) <= slack) & (start_s < end_s[k] - 0.5 * length[k])
        areas[number] = min(rows[starts].sum(), rows[ends].sum()) + 0.5 * rows[starts & ends].sum()
        places[number] = _middle(column[starts | ends])
        shown[number] = _contrast(strip, begin[k], end[k], places[number], half)
    usual = max(1.5 * least, _usual(areas, begin[short], body))
    faint = _FAINT if frame_s < 1 / _FAINT_FROM_HZ else 0.0
    enough = max(faint * _usual(shown, begin[short], body), 1e-6)
    found = [
        Streak(
            int(begin[k]),
            int(end[k]),
            float(places[n]),
            float(column[k]),
            float(
                min(1.2, areas[n] / usual) ** 0.6 * min(1.3, length[k] / 0.1) * min(1.0, shown[n] / enough)
            ),
        )
        for n, k in enumerate(short)
    ]
    found.sort(key=lambda one: -one.score)
    kept: list[Streak] = []
    for one in found:
        if one.score < 0.2 or len(kept) >= _MOST:
            break
        if not any(_alike(one, other, body.height_px) for other in kept):
            kept.append(one)
    return sorted(kept, key=lambda one: one.begin)


def _contrast(strip: GroundStrip, begin: int, end: int, column: float, half: float) -> float:
    """How much what stands there differs from bare ground, grey levels over the rows that are looked at."""
    left, right = max(0, round(column - half)), round(column + half) + 1
    part = np.sort(strip.picture[begin:end, left:right], axis=None)
    return float(part[3 * len(part) // 4])


def _middle(values: npt.NDArray[np.int64] | npt.NDArray[np.uint8]) -> float:
    """The median, for a thousand short rows several times as quick as NumPy's."""
    ordered = np.sort(values)
    return (float(ordered[(len(ordered) - 1) // 2]) + float(ordered[len(ordered) // 2])) / 2


def _usual(areas: Floats, begin: npt.NDArray[np.int64], body: BodyPath) -> float:
    """How large a foot of this film is: the middle of the largest in twelve parts of the time it runs."""
    moving = np.flatnonzero(body.there)
    edges = np.linspace(moving[0], moving[-1] + 1, 13)
    most = [areas[(begin >= a) & (begin < b)].max(initial=0.0) for a, b in pairwise(edges)]
    return float(np.median(most))


def _alike(one: Streak, other: Streak, height_px: float) -> bool:
    both = min(one.end, other.end) - max(one.begin, other.begin)
    either = max(one.end, other.end) - min(one.begin, other.begin)
    return abs(one.column - other.column) < 0.12 * height_px and both > 0.5 * either


def _runs(stands: npt.NDArray[np.bool_]) -> npt.NDArray[np.int64]:
    """Stretches of frames in which a column stands: (begin, end, column)."""
    padded = np.zeros((len(stands) + 2, stands.shape[1]), np.int8)
    padded[1:-1] = stands
    change = np.diff(padded, axis=0).T
    columns, begins = np.nonzero(change == 1)
    _, ends = np.nonzero(change == -1)
    return np.column_stack([begins, ends, columns]).astype(np.int64)


def chain(streaks: list[Streak], body: BodyPath, seconds: Floats, forwards: float) -> list[Streak]:
    """The streaks that follow each other as steps do; ``forwards`` is 1 for a run to the right, -1 to the
    left. Steps change little from one to the next in time, more in length.
    """
    if not streaks:
        return []
    count = len(streaks)
    links = [
        [(i, *_follows(streaks[i], streaks[j], body, seconds, forwards)) for i in range(j)]
        for j in range(count)
    ]
    best: dict[tuple[int, int], tuple[float, int]] = {}  # (before, this) to the sum and the one before both
    for j in range(count):
        best[-1, j] = (streaks[j].score, -2)
        for i, worth, step_s, step_px in links[j]:
            if worth <= 0:
                continue
            options = [(streaks[i].score, -1)]
            for h, worth_before, before_s, before_px in links[i]:
                if worth_before > 0 and (h, i) in best:
                    change = abs(np.log(step_s / before_s)) / 0.16
                    longer = np.log(step_px / before_px)
                    cost = 0.25 * change**2 + 0.25 * ((longer - 0.1) / 0.35) ** 2
                    options.append((best[h, i][0] - min(cost, 3.0), h))
            total, at = max(options)
            best[i, j] = (total + worth * streaks[j].score - 0.12, at)
    pair = max(best, key=lambda key: best[key][0])
    out = []
    while pair[1] >= 0:
        out.append(streaks[pair[1]])
        if pair[0] < 0:
            break
        pair = (best[pair][1], pair[0])
    return out[::-1]


def _follows(
    earlier: Streak, later: Streak, body: BodyPath, seconds: Floats, forwards: float
) -> tuple[float, float, float]:
    """How well one streak follows another (1 for the next step, less over missing ones, 0 for not at all),
    and time and way of one step, s and px.
    """
    last = len(seconds) - 1
    time = float(seconds[later.begin] - seconds[earlier.begin])
    gap = float(seconds[later.begin] - seconds[min(earlier.end, last)])
    way = forwards * (later.column - earlier.column)
    stood = float(seconds[min(earlier.end, last)] - seconds[earlier.begin])
    for steps, worth in ((1, 1.0), (2, 0.6), (3, 0.3)):
        step_s, step_px = time / steps, way / steps
        if (
            gap > -0.02
            and _STEP_S[0] <= step_s <= _STEP_S[1]
            and _STEP_HEIGHTS[0] <= step_px / body.height_px <= _STEP_HEIGHTS[1]
            and 0.3 * step_s <= stood
        ):
            return worth, step_s, step_px
    return 0.0, 1.0, 1.0


def with_tips(
    streaks: list[Streak], strip: GroundStrip, body: BodyPath, seconds: Floats, forwards: float
) -> list[Streak]:
    """The streaks as long as their columns rest: from where the first two come to rest together until the
    last two leave together. The heel goes first, the tip of the shoe last.
    """
    runs = _runs(strip.rests >= 1)
    begin, end, column = runs[:, 0], runs[:, 1], runs[:, 2]
    last = len(seconds) - 1
    frame_s = float(seconds[1] - seconds[0])
    together = max(1, 0.012 / frame_s)
    out = []
    for place, one in enumerate(streaks):
        ahead = forwards * (column - one.column)
        near = (ahead >= -0.08 * body.height_px) & (ahead <= _TIP * body.height_px)
        overlaps = np.minimum(end, one.end) - np.maximum(begin, one.begin)
        near &= overlaps >= 0.4 * (one.end - one.begin)
        near &= seconds[begin] >= seconds[one.begin] - 0.02
        if place + 1 < len(streaks):
            near &= end <= streaks[place + 1].begin + 1
        near &= seconds[np.minimum(end, last)] - seconds[one.begin] <= _LONGEST_S
        if not near.any():
            out.append(one)
            continue
        since = _paired(np.sort(begin[near]), together)
        until = _paired(-np.sort(-end[near]), together)
        first = one.begin if since is None else max(since, one.begin)
        stop = one.end if until is None else max(until, one.end)
        tips = column[near & (end >= stop - max(1, round(0.01 / frame_s))) & (end <= stop)]
        tip = float(np.median(tips)) if len(tips) else one.column
        out.append(Streak(first, stop, one.column, tip, one.score))
    return out


def _paired(frames: npt.NDArray[np.int64], within: float) -> int | None:
    """The first of frames in turn that another one follows so closely: one column alone may be chance."""
    pairs = [int(a) for a, b in pairwise(frames) if abs(b - a) <= within]
    return pairs[0] if pairs else None


def best_chain(
    strip: GroundStrip, body: BodyPath, seconds: Floats, direction: Direction | None
) -> tuple[list[Streak], float]:
    """The run's streaks, with their tips, and 1 for a run to the right, -1 to the left; ``direction``: None
    where either may be.
    """
    ways = {None: (1.0, -1.0), Direction.RIGHT: (1.0,), Direction.LEFT: (-1.0,)}[direction]
    streaks = find_streaks(strip, body, seconds)
    chains = [(chain(streaks, body, seconds, way), way) for way in ways]
    best, forwards = max(chains, key=lambda pair: sum(one.score for one in pair[0]))
    return with_tips(best, strip, body, seconds, forwards), forwards
