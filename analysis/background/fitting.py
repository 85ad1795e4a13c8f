"""A map between two pictures from places that both show, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from analysis.background.following import Bools, Points, grid, mapped
from analysis.background.pictures import Floats

WITHIN_PX = 1.5
FEWEST = 24
"""Fewer places than this don't carry a map."""

_FEWEST_CELLS = 5
_LEAST_PX = 0.03
"""Pixels to which a corner is found at best: interpolation and compression see to it."""

_COLUMNS, _ROWS = 6, 4


@dataclass(frozen=True)
class Fit:
    """``map``: (3, 3), places of the first picture to those of the second. ``error_px``: standard uncertainty
    of a place taken through it, along each axis, root mean square over the picture. ``inliers``: which of the
    places hold to it. ``spread_px``: how closely they do, along each axis. ``covariance``: (8, 8), of the
    numbers of ``bends`` by which the first picture may be off before the map, so that it makes ``error_px``.
    """

    map: Floats
    error_px: float
    inliers: Bools
    spread_px: float
    covariance: Floats


def fit(before: Points, after: Points, shape: tuple[int, ...], within_px: float = WITHIN_PX) -> Fit | None:
    """The homography that takes ``before`` (n, 2) to ``after``; None where too few places agree.

    ``shape``: (height, width) of the first picture. Robust against places that moved by themselves:
    MAGSAC++ (Barath and others 2020), as OpenCV has it, then least squares over those that agree.
    """
    if len(before) < FEWEST:
        return None
    cv2.setRNGSeed(1)  # the same film gives the same map
    first, mask = cv2.findHomography(before, after, cv2.USAC_MAGSAC, within_px, None, 2000, 0.999)
    if np.ndim(first) != 2:  # OpenCV gives None where it finds nothing
        return None
    good = np.asarray(mask).ravel() > 0
    if good.sum() < FEWEST:
        return None
    off = after - mapped(np.asarray(first, np.float64), before)
    spread = float(np.median(np.abs(off[good]))) * 1.4826
    good &= np.linalg.norm(off, axis=1) < min(max(3.5 * spread, 0.35), within_px * 1.5)
    if good.sum() < FEWEST or len(np.unique(_cell_of(before[good], shape))) < _FEWEST_CELLS:
        return None
    best, _ = cv2.findHomography(before[good], after[good], 0)
    if np.ndim(best) != 2:
        return None
    found = np.asarray(best, np.float64)
    off = after[good] - mapped(found, before[good])
    spread = max(_LEAST_PX, float(np.sqrt(np.mean(off**2) * good.sum() * 2 / (good.sum() * 2 - 8))))
    covariance, noise = _spread_of_map(found, before[good], shape, spread)
    error = float(np.hypot(noise, _structure(off, before[good], shape)))
    return Fit(found, error, np.asarray(good, np.bool_), spread, covariance * (error / noise) ** 2)


def _cell_of(places: Points, shape: tuple[int, ...]) -> Floats:
    column = np.clip(places[:, 0] * _COLUMNS / shape[1], 0, _COLUMNS - 1).astype(int)
    row = np.clip(places[:, 1] * _ROWS / shape[0], 0, _ROWS - 1).astype(int)
    return np.asarray(row * _COLUMNS + column)


def _spread_of_map(
    through: Floats, places: Points, shape: tuple[int, ...], spread_px: float
) -> tuple[Floats, float]:
    """Linear propagation of the places' spread to the map, and through it to a grid over the picture, px."""
    jacobian = bends(through, np.asarray(places, np.float64), shape).reshape(-1, 8)
    covariance = np.asarray(np.linalg.pinv(jacobian.T @ jacobian) * spread_px**2, np.float64)
    rows = bends(through, grid(shape), shape).reshape(-1, 8)
    return covariance, float(np.sqrt(np.mean(np.einsum("ij,jk,ik->i", rows, covariance, rows))))


def bends(through: Floats, places: Floats, shape: tuple[int, ...]) -> Floats:
    """(n, 2, 8): what each place does behind a map when its own picture is changed by a small map before it:
    by six numbers that move, turn and stretch and two of perspective. ``shape``: of that picture.
    """
    centre, size = np.array([shape[1], shape[0]]) / 2, max(shape) / 2
    x, y = ((places - centre) / size).T
    none, one = np.zeros_like(x), np.ones_like(x)
    by_u = np.stack([x, y, one, none, none, none, -x * x, -x * y], -1) * size
    by_v = np.stack([none, none, none, x, y, one, -x * y, -y * y], -1) * size
    turned = np.stack([by_u, by_v], 1)
    return np.asarray(local(through, places) @ turned)


def local(through: Floats, places: Floats) -> Floats:
    """(n, 2, 2): the derivative of a map at places (n, 2)."""
    w = places @ through[2, :2] + through[2, 2]
    there = mapped(through, places)
    return np.asarray((through[None, :2, :2] - there[:, :, None] * through[None, 2:, :2]) / w[:, None, None])


def _structure(off: Floats, places: Points, shape: tuple[int, ...]) -> float:
    """What neighbours have in common beyond chance: a bent lens, near things, a shutter that rolls."""
    cells = _cell_of(places, shape)
    beyond, weights = [], []
    for cell in np.unique(cells):
        these = off[cells == cell]
        if len(these) >= 4:
            chance = these.var(axis=0, ddof=1).sum() / len(these)
            beyond.append((np.sum(these.mean(axis=0) ** 2) - chance) / 2)
            weights.append(1.0)
    return float(np.sqrt(max(0.0, np.average(beyond, weights=weights)))) if beyond else 0.0
