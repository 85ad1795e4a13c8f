"""The mix of brightness and colour in which a runner's feet are told best from the ground they pass over."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
import numpy.typing as npt
from scipy.linalg import eigh

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import Band, Frames

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


def most_distinct(band: Band, tints: Frames, canvas: Canvas, body: BodyPath) -> Band:
    """The band in that mix: Fisher's discriminant of what moves by against bare ground. As it is where
    brightness tells as much. ``tints``: (n, rows / 2, width / 2, 2), colour of the band.
    """
    samples = list(_samples(band, tints, canvas, body))
    if not samples:
        return band
    bare, foot = (np.concatenate(parts) for parts in zip(*samples, strict=True))
    weights = _weights(bare, foot)
    if weights is None:
        return band
    return Band(band.place, _mixed(band.pictures, tints, weights))


def _mixed(pictures: Frames, tints: Frames, weights: Floats) -> Frames:
    """1 to 255 where a frame sees something, 0 elsewhere."""
    rows, width = pictures.shape[1:]
    usual = [
        float(np.median(plane[plane > 0]))
        for plane in (pictures[::16], tints[::16, ..., 0], tints[::16, ..., 1])
    ]
    bias = float(128.0 - weights @ np.array(usual))
    out = np.zeros_like(pictures)
    for number, luma in enumerate(pictures):
        pair = cv2.transform(tints[number].astype(np.float32), weights[None, 1:].astype(np.float32))
        wide = cv2.resize(np.asarray(pair), (2 * tints.shape[2], 2 * tints.shape[1]))[:rows, :width]
        mix = np.asarray(cv2.addWeighted(luma.astype(np.float32), float(weights[0]), wide, 1.0, bias))
        out[number] = np.where(luma > 0, np.clip(mix, 1, 255), 0)
    return out


def _samples(band: Band, tints: Frames, canvas: Canvas, body: BodyPath) -> Iterator[tuple[Floats, Floats]]:
    """Of columns in turn, (n, 3) each: how far looks at bare ground are off its middle, and looks with the
    runner near.
    """
    height, width = body.height_px, band.pictures.shape[2]
    frames = np.unique(np.linspace(0, len(body.u) - 1, _LOOKS).astype(int))
    top = max(0, round(band.place.above - _OVER * height)) // 2
    bottom = max(top + 1, round(band.place.above + _UNDER * height) // 2)
    sees = canvas.sees[frames]
    for column in np.unique(np.linspace(8, width - 9, min(_COLUMNS, width)).astype(int) // 2):
        at = 2 * column
        seen = (sees[:, 0] + 4 <= at) & (at <= sees[:, 1] - 4)
        away = np.abs(body.u[frames] - at)
        near, clear = seen & body.there[frames] & (away < _NEAR * height), seen & (away > _CLEAR * height)
        if near.sum() < 1 or clear.sum() < 5:
            continue
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
    ratios, directions = eigh(scatter, spread)
    plain = scatter[0, 0] / spread[0, 0]
    contrast = float(np.sqrt(scatter[0, 0]))
    if ratios[-1] < _WORTH**2 * plain and contrast > _ENOUGH:
        return None
    best = directions[:, -1]
    best = best * np.sign(best[np.argmax(np.abs(best))])
    seen = float(np.sqrt(best @ scatter @ best))
    out: Floats = best * min(_ENOUGH / seen, _MOST_WEIGHT / np.abs(best).max())
    return out
