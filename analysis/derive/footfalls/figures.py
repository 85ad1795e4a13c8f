"""The figures in small pictures, column by column: where they jump the film is cut, and whether two run.

The background is the middle picture of each third of the film. What stands for a whole third, be it a runner
in the set position or the ground that he leaves free, is in one of these three and so no figure.
"""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from analysis.background.shaping import middle_of_seen
from analysis.derive.footfalls.body import FASTEST_HEIGHTS_S, passing
from analysis.derive.footfalls.stacked import share_of

Bools = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]

_THIRDS, _LOOKS = 3, 15
_TOGETHER, _STEPS = 12, 4
"""So many pictures are looked at together; parts of a grey level that middles of two middles need."""
_OTHER_LEVELS = 14
"""Grey levels by which a figure differs from the background."""
_JUMPS, _MUCH, _SHAKEN = 0.7, 0.4, 2.0
"""So little of one frame's figures is in the next where the film is cut, if there is so much of the usual;
with so much more it is the picture that was shaken.
"""
_FEWEST_PX, _SEEN_SHARE = 3.0, 0.75
_AT_EDGE = 0.5
"""Body heights from the picture's edge within which a figure comes into sight or leaves it."""
_TRUNK, _BESIDE, _LIKE = 0.45, 0.2, 0.35
"""Of the tallest column: what belongs to a trunk; body heights between two; of the one the other's mass."""
_OFTEN, _WAY, _MOST_APART = 0.25, 1.2, 1.6
"""Share of frames in which two who run together are seen; body heights that each goes, and between them."""


def figure_columns(small: Frames, seen: Bools) -> Floats:
    """How many pixels of each column are a figure's that passes, (n, w). ``small``: (n, h, w) pictures in one
    plane; ``seen``: which of their pixels a frame sees.
    """
    grounds = [_middle(small[part], seen[part]) for part in _thirds(len(small))]
    tells = [np.isfinite(ground) for ground in grounds]
    steps = [np.nan_to_num(_STEPS * ground).astype(np.int16) for ground in grounds]
    everywhere = bool(seen.all() and all(told.all() for told in tells))
    out = np.zeros((len(small), small.shape[2]))
    kernel = np.ones((3, 3), np.uint8)
    for begin in range(0, len(small), _TOGETHER):
        part = slice(begin, begin + _TOGETHER)
        pictures, there = small[part].astype(np.int16) * np.int16(_STEPS), seen[part]
        other, looked = np.ones(there.shape, np.bool_), np.zeros(there.shape, np.bool_)
        for ground, told in zip(steps, tells, strict=True):
            off, both = pictures - ground, there & told
            if everywhere:
                light = np.median(off[:, ::4, ::4].reshape(len(off), -1), axis=1)
            else:
                picks = [one[::4, ::4][known[::4, ::4]] for one, known in zip(off, both, strict=True)]
                light = np.array([np.median(pick) if pick.size else 0.0 for pick in picks])
                both[[not pick.size for pick in picks]] = False
            off -= light.astype(np.int16)[:, None, None]  # but for what the light did
            other &= ~both | (np.abs(off, out=off) > _STEPS * _OTHER_LEVELS)
            looked |= both
        for number, figure in enumerate((other & looked).view(np.uint8), begin):
            opened = cv2.morphologyEx(figure, cv2.MORPH_OPEN, kernel)
            out[number] = cv2.reduce(opened, 0, cv2.REDUCE_SUM, dtype=cv2.CV_32S)
    return passing(out, seen)


def _thirds(count: int) -> list[npt.NDArray[np.int64]]:
    parts = [part for part in np.array_split(np.arange(count), _THIRDS) if len(part)]
    return [
        part[np.unique(np.linspace(0, len(part) - 1, min(_LOOKS, len(part))).astype(int))] for part in parts
    ]


def _middle(pictures: Frames, seen: Bools) -> npt.NDArray[np.float32]:
    """The median of those that see a pixel, nan where hardly any does."""
    if seen.all():
        return share_of(pictures, 0.5)
    return middle_of_seen(pictures, seen, _THIRDS)


def well_seen(columns: Floats, moves: Bools) -> bool:
    """Whether a figure is seen in nearly every picture in which the body ``moves``, (n,): one as bright as
    what is behind it comes and goes by itself.
    """
    return bool(moves.any() and np.mean(columns.sum(axis=1)[moves] > _FEWEST_PX) > _SEEN_SHARE)


def jumps(columns: Floats, seen: Bools, tall_px: float, rate_hz: float) -> tuple[int, ...]:
    """Pictures whose figures are others than those of the picture before, wherever these could have gone to.

    ``columns``: of the figures; ``tall_px``: of a body, in these pictures, of which there are ``rate_hz``.
    """
    reach = max(1, round(FASTEST_HEIGHTS_S * tall_px / rate_hz))
    edge = reach + round(_AT_EDGE * tall_px)
    sees = np.asarray(seen.any(axis=1), np.uint8)
    wide = cv2.erode(np.pad(sees, ((0, 0), (1, 1))), np.ones((1, 2 * edge + 1), np.uint8), borderValue=0)
    inner = np.asarray(wide[:, 1:-1] > 0, np.bool_)
    kept = columns * inner
    masses = columns.sum(axis=1)
    usual = float(np.quantile(masses, 0.9))
    left = np.zeros(len(columns))
    for number in range(1, len(columns)):
        both = inner[number - 1] & inner[number]
        before, after = columns[number - 1], kept[number] * both
        was = kept[number - 1] * both
        most = max(was.sum(), after.sum())
        shaken = masses[number - 1 : number + 1].max() > _SHAKEN * usual
        if not both.any() or most < max(_FEWEST_PX, _MUCH * usual) or shaken:
            continue
        gone, come = _unlike(was, columns[number], reach), _unlike(after, before, reach)
        left[number] = (gone + come) / (was.sum() + after.sum())
    return tuple(
        int(k)
        for k in np.flatnonzero(left > _JUMPS)
        if left[k] == left[max(0, k - round(rate_hz / 4)) : k + round(rate_hz / 4) + 1].max()
    )


def _unlike(figure: Floats, other: Floats, reach: int) -> float:
    """How much of a figure is not in another picture, however it went."""
    round_about = np.concatenate([other[-reach:], other, other[:reach]])
    moved = np.lib.stride_tricks.sliding_window_view(round_about, len(other))
    return float(np.maximum(figure - moved, 0.0).sum(axis=1).min())


def two_together(columns: Floats, tall_px: float) -> bool:
    """Whether two figures cross the picture close together, one behind the other."""
    span = max(1, round(0.08 * tall_px))
    smooth = cv2.blur(columns, (span, 1))
    tallest = smooth.max(axis=1)
    full = float(np.quantile(tallest, 0.9))
    whole = np.flatnonzero(tallest > 0.6 * full)
    pairs = [pair for n in whole if (pair := _pair(smooth[n], _TRUNK * full, tall_px)) is not None]
    if full <= 0 or len(pairs) < max(6, _OFTEN * len(whole)):
        return False
    places = np.array(pairs)
    apart = float(np.median(places[:, 1] - places[:, 0]))
    went = np.quantile(places, 0.95, axis=0) - np.quantile(places, 0.05, axis=0)
    return bool(apart < _MOST_APART * tall_px and went.min() > _WAY * tall_px)


def _pair(columns: Floats, trunk: float, tall_px: float) -> tuple[float, float] | None:
    """Columns of the two trunks that are there; None for one or none."""
    at = np.flatnonzero(columns > trunk)
    parts = np.split(at, np.flatnonzero(np.diff(at) > _BESIDE * tall_px) + 1)
    masses = [float(columns[part].sum()) for part in parts]
    if len(parts) < 2:
        return None
    first, second = np.argsort(masses)[::-1][:2]
    if masses[second] < _LIKE * masses[first]:
        return None
    ends = sorted(float(parts[k][[0, -1]].mean()) for k in (first, second))
    return ends[0], ends[1]
