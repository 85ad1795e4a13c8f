"""Placed points as arrays, and what is likely between them before any picture is looked at."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from analysis.derive.following.limbs import Limb
from analysis.values.camera import CameraPath
from analysis.values.run import BodyPoint

Floats = npt.NDArray[np.float64]


def as_arrays(
    points: Sequence[BodyPoint], names: tuple[str, ...], first: int, last: int
) -> tuple[Floats, Floats]:
    """Placed points (n, p, 2), NaN where not placed, and their standard uncertainty (n, p)."""
    placed = np.full((last - first + 1, len(names), 2), np.nan)
    u = np.full(placed.shape[:2], np.inf)
    for p in points:
        column = names.index(p.name)
        placed[p.frame - first, column] = p.u, p.v
        u[p.frame - first, column] = p.error_px
    return placed, u


def curves_through(placed: Floats) -> Floats:
    """Smooth curves (n, p, 2) through the placed points, carried on with the whole body beyond their ends."""
    n, p = placed.shape[:2]
    curves = np.full(placed.shape, np.nan)
    rows = np.arange(n)
    common = _common_motion(placed)
    for column in range(p):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        if len(known) == 1:
            curves[:, column] = placed[known[0], column] + common - common[known[0]]
        elif len(known):
            relative = placed[known, column] - common[known]
            inside = np.clip(rows, known[0], known[-1])
            curves[:, column] = PchipInterpolator(known, relative)(inside) + common
    return curves


def _common_motion(placed: Floats) -> Floats:
    """How the body as a whole moves, (n, 2): the mean over points of their own piecewise straight ways."""
    n, p = placed.shape[:2]
    rows = np.arange(n)
    speeds = np.zeros((n - 1, 2))
    count = np.zeros((n - 1, 1))
    for column in range(p):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        if len(known) < 2:
            continue
        way = np.stack([np.interp(rows, known, placed[known, column, axis]) for axis in (0, 1)], axis=1)
        speeds[known[0] : known[-1]] += np.diff(way, axis=0)[known[0] : known[-1]]
        count[known[0] : known[-1]] += 1
    there = count[:, 0] > 0
    speeds[there] /= count[there]
    if there.any():
        last, first = np.flatnonzero(there)[-1], np.flatnonzero(there)[0]
        speeds[last + 1 :], speeds[:first] = speeds[last], speeds[first]
    return np.concatenate([np.zeros((1, 2)), np.cumsum(speeds, axis=0)])


def body_height(placed: Floats) -> float:
    """How high the body stands in the picture, px: from the most complete frames."""
    count = np.isfinite(placed[:, :, 0]).sum(axis=1)
    best = np.flatnonzero(count == count.max())
    spread = [np.ptp(placed[row][np.isfinite(placed[row, :, 0])], axis=0) for row in best]
    return max(60.0, float(np.median([np.hypot(*s) for s in spread])))


def boxes_around(likely: Floats, height: float) -> Floats:
    """Left, top, right, bottom of the body with some room around it, (n, 4)."""
    margin = 0.22 * height
    return np.concatenate([np.nanmin(likely, axis=1) - margin, np.nanmax(likely, axis=1) + margin], axis=1)


def likely_lengths(placed: Floats, limbs: list[Limb]) -> Floats:
    """Likely length of each limb on every frame: straight between placed frames."""
    rows = np.arange(len(placed))
    lengths = np.full((len(placed), len(limbs)), np.nan)
    for i, limb in enumerate(limbs):
        span = np.linalg.norm(placed[:, limb.second] - placed[:, limb.first], axis=1)
        known = np.flatnonzero(np.isfinite(span))
        if len(known):
            lengths[:, i] = np.interp(rows, known, span[known])
    return lengths


def likely_places(placed: Floats, first: int, camera: CameraPath | None) -> Floats:
    """As ``curves_through``; where the camera moves, the curves are those of the reference frame."""
    if camera is None or not len(camera.maps):
        return curves_through(placed)
    rows = np.clip(np.arange(len(placed)) + first - camera.first, 0, len(camera.maps) - 1)
    maps = camera.maps[rows]
    return _mapped(np.asarray(np.linalg.inv(maps), np.float64), curves_through(_mapped(maps, placed)))


def _mapped(maps: Floats, places: Floats) -> Floats:
    """Places (n, p, 2) through one map a frame, (n, 3, 3)."""
    out = np.einsum("nij,npj->npi", maps[:, :, :2], places) + maps[:, None, :, 2]
    return np.asarray(out[..., :2] / out[..., 2:])
