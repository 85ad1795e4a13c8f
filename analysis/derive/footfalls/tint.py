"""The mix of brightness and colour in which a runner's feet are told best from the ground they pass over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import Band, Frames, Mix

Floats = npt.NDArray[np.float64]

_OVER, _UNDER = 0.07, 0.02
"""Body heights over and under the line in which there are feet."""
_NEAR, _CLEAR = 0.35, 1.0
"""Body heights from the runner within which there may be a foot, and from which on the ground is bare."""
_LOOKS = 90
_COLUMNS = 160
_UNLIKE = 4.0
"""Times the spread of bare ground by which a foot's pixel is off it."""
_WORTH = 1.15
"""So many times as distinct as by its brightness alone a foot must be for its colour to be used."""
_LEAST_SPREAD = 1.0
_ENOUGH, _MOST_WEIGHT = 40.0, 4.0
"""Grey levels by which feet should differ from the ground; how many times a channel is strengthened."""
_FEWEST = 200


def most_distinct(
    band: Band, tints: Frames, canvas: Canvas, body: BodyPath, feet: tuple[float, float] | None = None
) -> Band:
    """The band in that mix: Fisher's discriminant of what moves by against bare ground. As it is where
    brightness tells as much. ``tints``: (n, rows / 2, width / 2, 2), colour of the band. ``feet``: as in
    ``read_strip``.
    """
    samples = list(_samples(band, tints, canvas, body, feet or (0.0, band.place.above)))
    if not samples:
        return band
    bare, foot = (np.concatenate(parts) for parts in zip(*samples, strict=True))
    weights = _weights(bare, foot)
    if weights is None:
        return band
    luma, blue, red = (float(one) for one in weights)
    mix = Mix((luma, blue, red), _bias(band.pictures, tints, weights))
    return replace(band, tints=tints, mix=mix)


def _bias(pictures: Frames, tints: Frames, weights: Floats) -> float:
    """So much makes the usual pixel's mix middle grey."""
    planes = (pictures[::16], tints[::16, ..., 0], tints[::16, ..., 1])
    usual = [_middle(plane) for plane in planes]
    return float(128.0 - weights @ np.array(usual))


def _middle(levels: Frames) -> float:
    """The median of those above 0, counted level by level: many times as quick as sorting millions."""
    counts = np.zeros(256, np.int64)
    for picture in levels:
        counted = cv2.calcHist([np.ascontiguousarray(picture)], [0], None, [256], [0, 256])
        counts += counted.ravel().astype(np.int64)
    counts[0] = 0
    upto = np.cumsum(counts)
    return float(np.mean([np.searchsorted(upto, at, "right") for at in ((upto[-1] - 1) // 2, upto[-1] // 2)]))


def _samples(
    band: Band, tints: Frames, canvas: Canvas, body: BodyPath, feet: tuple[float, float]
) -> Iterator[tuple[Floats, Floats]]:
    """Of columns in turn, (n, 3) each: how far looks at bare ground are off its middle, and looks with the
    runner near.
    """
    height, width = body.height_px, band.pictures.shape[2]
    frames = np.unique(np.linspace(0, len(body.u) - 1, _LOOKS).astype(int))
    sees = canvas.sees[frames]
    for column in np.unique(np.linspace(8, width - 9, min(_COLUMNS, width)).astype(int) // 2):
        at = 2 * column
        seen = (sees[:, 0] + 4 <= at) & (at <= sees[:, 1] - 4)
        away = np.abs(body.u[frames] - at)
        near, clear = seen & body.there[frames] & (away < _NEAR * height), seen & (away > _CLEAR * height)
        if near.sum() < 1 or clear.sum() < 5:
            continue
        ground = feet[0] * at + feet[1]
        top = max(0, round(ground - _OVER * height)) // 2
        bottom = max(top + 1, round(ground + _UNDER * height) // 2)
        colour = tints[frames, top:bottom, column].astype(np.float64)
        luma = band.pictures[frames, 2 * top : 2 * bottom : 2, at].astype(np.float64)
        looks = np.concatenate([luma[:, : colour.shape[1], None], colour[:, : luma.shape[1]]], axis=2)
        off = looks - np.median(looks[clear], axis=0)
        yield off[clear].reshape(-1, 3), off[near].reshape(-1, 3)


def _weights(bare: Floats, near: Floats) -> Floats | None:
    """Of brightness and two colours; None where brightness alone does as well."""
    spread = np.cov(bare.T) + _LEAST_SPREAD**2 * np.eye(3)
    apart = np.einsum("ij,jk,ik->i", near, np.linalg.inv(spread), near)
    foot = near[apart > _UNLIKE**2]
    if len(foot) < _FEWEST:
        return None
    scatter = foot.T @ foot / len(foot)
    # in a mix in which bare ground spreads alike every way, the one in which a foot is farthest
    apart_from = np.linalg.inv(np.linalg.cholesky(spread))
    ratios, ways = np.linalg.eigh(apart_from @ scatter @ apart_from.T)
    directions = apart_from.T @ ways
    plain = scatter[0, 0] / spread[0, 0]
    contrast = float(np.sqrt(scatter[0, 0]))
    if ratios[-1] < _WORTH**2 * plain and contrast > _ENOUGH:
        return None
    best = directions[:, -1]
    best = best * np.sign(best[np.argmax(np.abs(best))])
    seen = float(np.sqrt(best @ scatter @ best))
    out: Floats = best * min(_ENOUGH / seen, _MOST_WEIGHT / np.abs(best).max())
    return out
