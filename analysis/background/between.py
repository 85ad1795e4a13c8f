"""Maps of the frames between mapped ones, and what taking them from their neighbours adds to the error."""

from __future__ import annotations

import cv2
import numpy as np

from analysis.background.following import Bools, mapped, rms
from analysis.background.pictures import Floats

_HALF_GAP = 4.0
"""Leaving out every other mapped frame doubles the gap; half the gap errs four times less or better (linear
interpolation is of second order in the gap, the spline of fourth).
"""


def fill(
    times_s: Floats, at: list[int], maps: Floats, error_px: Floats, shape: tuple[int, ...]
) -> tuple[Floats, Floats]:
    """Maps (n, 3, 3) and errors (n,) of all frames.

    ``times_s``: (n,) of all frames; ``at``: the mapped ones among them, rising; ``maps``, ``error_px``:
    theirs, infinite where a frame wasn't tied. Between two frames the corners of the picture move along cubic
    splines over time; where one of the two is not tied, nor is what lies between.
    """
    from scipy.interpolate import CubicSpline  # dear to load: a still camera's film needs none

    frames = len(times_s)
    every, errors = np.tile(np.eye(3), (frames, 1, 1)), np.full(frames, np.inf)
    tied = np.isfinite(error_px)
    corners = _corners(shape)
    spots = np.stack([mapped(through, corners) for through in maps])
    for run in _runs(tied):
        numbers = [at[place] for place in run]
        inside = np.arange(numbers[0], numbers[-1] + 1)
        for place in run:
            every[at[place]], errors[at[place]] = maps[place], error_px[place]
        if len(run) < 2:
            continue
        knots = times_s[numbers]
        curve = CubicSpline(knots, spots[run].reshape(len(run), 8))
        added = _added(knots, spots[run], error_px[run])
        left = np.clip(np.searchsorted(knots, times_s[inside], side="right") - 1, 0, len(run) - 2)
        share = (times_s[inside] - knots[left]) / (knots[left + 1] - knots[left])
        own = np.interp(times_s[inside], knots, error_px[run])
        for frame, part, extra, base in zip(
            inside, 4 * share * (1 - share), np.maximum(added[left], added[left + 1]), own, strict=True
        ):
            if part > 0 and int(frame) not in numbers:
                there = np.asarray(curve(times_s[frame]).reshape(4, 2), np.float32)
                every[frame] = cv2.getPerspectiveTransform(np.asarray(corners, np.float32), there)
                errors[frame] = np.hypot(base, part * extra)
    return every, errors


def _added(knots: Floats, spots: Floats, error_px: Floats) -> Floats:
    """What interpolation adds in the middle of a gap, near each knot, along each axis."""
    count = len(knots)
    if count < 5:
        return np.full(count, rms(np.diff(spots, axis=0)) / _HALF_GAP if count > 1 else 0.0)
    from scipy.interpolate import CubicSpline

    off = np.zeros(count)
    for start in (0, 1):
        kept = np.unique(np.r_[0, np.arange(start, count, 2), count - 1])
        guess = CubicSpline(knots[kept], spots[kept].reshape(len(kept), 8))(knots).reshape(spots.shape)
        left_out = np.setdiff1d(np.arange(count), kept)
        off[left_out] = [rms(guess[place] - spots[place]) for place in left_out]
    off[0], off[-1] = off[1], off[-2]
    wide = np.pad(off, 2, mode="edge")
    near = np.sqrt(np.mean(np.stack([wide[i : i + count] for i in range(5)]) ** 2, axis=0))
    # The knots' own error shows in it as well.
    return np.asarray(np.sqrt(np.maximum(near**2 - error_px**2, (0.1 * near) ** 2)) / _HALF_GAP)


def _corners(shape: tuple[int, ...]) -> Floats:
    height, width = shape
    return np.array([[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]], np.float64)


def _runs(tied: Bools) -> list[list[int]]:
    """Stretches of neighbours that are all tied, as places in the list."""
    runs: list[list[int]] = []
    for place in np.flatnonzero(tied):
        if runs and runs[-1][-1] == place - 1:
            runs[-1].append(int(place))
        else:
            runs.append([int(place)])
    return runs
