"""Where the runner is in each frame, from what moves in small pictures."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.rest import stirs_from

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]

_MOVED_S = 0.03
"""Two pictures so far apart are held against each other."""
FASTEST_HEIGHTS_S = 9.0
_REST_COST = 0.02
_PAUSE_S = 0.25
_SMOOTH_S = 0.06
_OFTEN, _CROWD_TIMES, _FEWEST_LOOKS = 0.6, 1.5, 10
"""What moves in a column in this share of the frames that see it, and up to so many times it, stays."""
_CROWD_SHARE = 0.25
"""Of all that moves in a usual frame: less that stays is no crowd but what a followed camera leaves."""


@dataclass(frozen=True, eq=False)
class BodyPath:
    """``u``: column of the body in each frame, px of the canvas, shape (n,); ``there``: whether it moves in
    the picture then, (n,). ``height_px``: of the body. ``top``, ``low``: (n,) rows of its highest and lowest
    moving part, nan where it does not move. ``second``: share of what moves that another runner makes.
    ``stirs``: the frame from which it is not as it was at rest, the first that is ``there`` where none tells.
    """

    u: Floats
    there: npt.NDArray[np.bool_]
    height_px: float
    top: Floats
    low: Floats
    second: float
    stirs: float = 0.0

    def every(self, step: int) -> BodyPath:
        """In every so many frames."""
        part = slice(None, None, step)
        return replace(
            self, u=self.u[part], there=self.there[part], top=self.top[part], low=self.low[part],
            stirs=self.stirs / step,
        )  # fmt: skip

    def between(self, frames: int, step: int) -> BodyPath:
        """In so many frames, where it was followed in every so many of them."""
        if step == 1:
            return self
        at = np.arange(frames) / step
        near = np.minimum(np.round(at).astype(int), len(self.u) - 1)
        u = np.interp(at, np.arange(len(self.u)), self.u)
        # between a picture and the one before it
        stirs = max(0.0, self.stirs * step - step // 2)
        return replace(self, u=u, there=self.there[near], top=self.top[near], low=self.low[near], stirs=stirs)

    @property
    def travel_px(self) -> float:
        """How far apart the places lie at which it moves."""
        return float(np.ptp(self.u[self.there])) if self.there.any() else 0.0


def motion_columns(small: Frames, valid: npt.NDArray[np.bool_], rate_hz: float) -> tuple[Floats, float]:
    """How many pixels of each column move, shape (n, w), and the grey levels from which one counts."""
    gap = max(1, round(_MOVED_S * rate_hz))
    count = len(small)
    out = np.zeros((count, small.shape[2]))
    noise = _noise(small)
    over = max(9.0, 5.0 * noise)
    for number in range(count):
        other = number + gap if number + gap < count else number - gap
        if other < 0:
            continue
        away = cv2.absdiff(small[number], small[other])
        moved = (away > over) & valid[number] & valid[other]
        out[number] = moved.sum(axis=0)
    return out, over


def passing(columns: Floats, valid: npt.NDArray[np.bool_]) -> Floats:
    """What moves in each column beyond what nearly always moves there: a runner passes, a crowd stays."""
    seen = np.asarray(valid.any(axis=1), np.bool_)
    often = seen.sum(axis=0)
    ordered = np.sort(np.where(seen, columns, np.inf), axis=0)  # what is not seen comes last
    enough = np.flatnonzero(often >= _FEWEST_LOOKS)
    at = _OFTEN * (often[enough] - 1)
    low = at.astype(int)
    less, more = ordered[low, enough], ordered[np.minimum(low + 1, often[enough] - 1), enough]
    always = np.zeros(columns.shape[1])
    always[enough] = less + (more - less) * (at - low)
    if always.sum() < _CROWD_SHARE * np.median(columns.sum(axis=1)):
        return columns
    wide = cv2.dilate(always[None].astype(np.float32), np.ones((1, 5), np.uint8))[0]
    out: Floats = np.maximum(columns - _CROWD_TIMES * wide, 0.0)
    return out


def _noise(small: Frames) -> float:
    picks = np.linspace(0, len(small) - 2, min(12, len(small) - 1)).astype(int)
    spreads = []
    for k in picks:
        away = cv2.absdiff(small[k], small[k + 1])[::2, ::2]
        seen = away[(small[k][::2, ::2] > 0) & (small[k + 1][::2, ::2] > 0)]
        spreads.append(float(np.median(seen)) if seen.size else 0.0)
    return float(np.median(spreads)) * 1.05


def follow_body(
    small: Frames, valid: npt.NDArray[np.bool_], rate_hz: float, scale: float, guess_height_px: float | None
) -> BodyPath | None:
    """The path of the one that travels farthest; None where nothing moves.

    ``small``: (n, h, w) pictures in the canvas, ``scale`` px of the canvas in one of theirs.
    """
    columns = passing(motion_columns(small, valid, rate_hz)[0], valid)
    tall = (guess_height_px or 0.25 * small.shape[1] * scale) / scale
    path, mass = _best_path(columns, tall, rate_hz)
    if mass.max(initial=0.0) <= 2.0:
        return None
    least = max(2.0, 0.12 * float(np.quantile(mass, 0.9)))
    there = _one_run(mass > least, path, rate_hz)
    if there.sum() < 3:
        return None
    left_over = columns.copy()
    reach = round(0.7 * tall)
    for number, place in enumerate(path):
        left_over[number, max(0, place - reach) : place + reach + 1] = 0
    other, other_mass = _best_path(left_over, tall, rate_hz)
    second = 0.0
    moving = other_mass > least
    if moving.sum() >= 3 and abs(float(other[moving][-1] - other[moving][0])) > 1.2 * tall:
        second = float(other_mass[moving].sum() / mass[there].sum())
    path = _at_rest(path, there, rate_hz)
    height, top, low = _extent(small, valid, path, there, tall, rate_hz)
    first = int(np.flatnonzero(there)[0])
    stirs = stirs_from(small, valid, int(path[first]), first, tall, rate_hz)
    return BodyPath(
        path.astype(np.float64) * scale, there, height * scale, top * scale, low * scale, second, float(stirs)
    )


def seen_of(small: Frames) -> npt.NDArray[np.bool_]:
    """Which pixels of small pictures a frame sees; those at its very edge, half outside, are left out."""
    seen = small > 0
    if seen.all():
        return seen
    kernel = np.ones((5, 5), np.uint8)
    for number, one in enumerate(seen):
        seen[number] = cv2.erode(one.astype(np.uint8), kernel, borderValue=1) > 0
    return seen


def _one_run(
    moves: npt.NDArray[np.bool_], path: npt.NDArray[np.int64], rate_hz: float
) -> npt.NDArray[np.bool_]:
    """Of the stretches in which something moves the one that goes farthest."""
    at = np.flatnonzero(moves)
    if len(at) == 0:
        return moves
    breaks = np.flatnonzero(np.diff(at) > max(2, round(_PAUSE_S * rate_hz)))
    stretches = np.split(at, breaks + 1)
    best = max(stretches, key=lambda one: (abs(int(path[one[-1]]) - int(path[one[0]])), len(one)))
    out = np.zeros_like(moves)
    out[best] = True
    return out


def _at_rest(
    path: npt.NDArray[np.int64], there: npt.NDArray[np.bool_], rate_hz: float
) -> npt.NDArray[np.int64]:
    """The path where the body does not move: it stays, whatever else stirs in the picture then."""
    at = np.flatnonzero(there)
    side = round(_SMOOTH_S * rate_hz / 2)  # what the path is smoothed over has been elsewhere
    inner = at[(at >= at[0] + side) & (at <= at[-1] - side)]
    kept = inner if len(inner) >= 2 else at
    return np.round(np.interp(np.arange(len(path)), kept, path[kept])).astype(np.int64)


def _best_path(columns: Floats, tall: float, rate_hz: float) -> tuple[npt.NDArray[np.int64], Floats]:
    """The path that gathers most of what moves, going no faster than a body can, and what it gathers."""
    box = max(3, round(0.5 * tall))
    soft = cv2.blur(columns, (box, 1)) * box
    step = max(1, int(np.ceil(FASTEST_HEIGHTS_S * tall / rate_hz)))
    count, width = soft.shape
    best = np.zeros((count, width))
    gain = np.sqrt(soft)
    best[0] = gain[0]
    kernel = np.ones((1, 2 * step + 1), np.uint8)
    for number in range(1, count):
        reach = cv2.dilate(best[number - 1][None].astype(np.float32), kernel)[0]
        # staying costs nothing, so that a path rests where nothing moves
        best[number] = gain[number] + np.maximum(best[number - 1], reach - _REST_COST)
    path = np.zeros(count, np.int64)
    path[-1] = int(np.argmax(best[-1]))
    for number in range(count - 2, -1, -1):
        here = int(path[number + 1])
        low, high = max(0, here - step), min(width, here + step + 1)
        window = best[number, low:high] - _REST_COST
        window[here - low] += _REST_COST
        path[number] = low + int(np.argmax(window))
    mass = soft[np.arange(count), path]
    # the path jitters within the box; the middle of what moves is steadier
    middles = path.astype(np.float64)
    for number in range(count):
        low, high = max(0, int(path[number]) - box), min(width, int(path[number]) + box + 1)
        weight = columns[number, low:high]
        if weight.sum() > 3:
            middles[number] = low + float((weight * np.arange(high - low)).sum() / weight.sum())
    span = max(1, round(_SMOOTH_S * rate_hz)) | 1
    smooth = np.convolve(np.pad(middles, span // 2, mode="edge"), np.ones(span) / span, mode="valid")
    return np.round(smooth[:count]).astype(np.int64), np.asarray(mass, np.float64)


def _extent(
    small: Frames,
    valid: npt.NDArray[np.bool_],
    path: npt.NDArray[np.int64],
    there: npt.NDArray[np.bool_],
    tall: float,
    rate_hz: float,
) -> tuple[float, Floats, Floats]:
    """Height of the body, rows of its highest and lowest moving part in each frame, in small pixels."""
    gap = max(1, round(_MOVED_S * rate_hz))
    over = max(9.0, 5.0 * _noise(small))
    top, low = np.full((2, len(small)), np.nan)
    heights = []
    reach = max(2, round(0.3 * tall))
    for number in np.flatnonzero(there):
        other = number + gap if number + gap < len(small) else number - gap
        begin, end = max(0, path[number] - reach), path[number] + reach + 1
        away = cv2.absdiff(
            np.ascontiguousarray(small[number][:, begin:end]),
            np.ascontiguousarray(small[other][:, begin:end]),
        )
        moved = (away > over) & valid[number][:, begin:end] & valid[other][:, begin:end]
        rows = np.flatnonzero(cv2.blur(moved.astype(np.float32), (3, 3)).sum(axis=1) > 0.8)
        if len(rows) >= 4:
            top[number], low[number] = rows[0], rows[-1]
            heights.append(rows[-1] - rows[0] + 1.0)
    return (float(np.median(heights)) if heights else tall), top, low
