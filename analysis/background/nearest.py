"""How what stands nearest, before the feet of whoever runs or lower, lies on the maps that hold all else.

A camera that is carried makes near things part from far ones, the more the nearer they are: ground that lies
nearer than the running line parts by more than the line. So where such ground shows something, how little it
parts bounds how far the line is off; where it is bare, nothing does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from analysis.background.following import Bools, Points
from analysis.background.parallax import middles
from analysis.background.pictures import Floats, Grey

_COLUMNS, _FEWEST_CELLS = 8, 2
_AGREE, _AGREE_PX, _AGREE_SHARE = 0.75, 1.0, 0.4
"""Share of a picture's cells that agree, and within how much: pixels, or share of how far they are off."""
_FAR = 0.5
"""Share of how far pictures get from their key, but for a tenth of them, from which one is far."""
_ENOUGH = 0.25
"""Share of the far pictures that must show the ground: bare ground did in 0.18 of them at most."""
_OVER_FEET, _LOWEST = 0.04, 5 / 6
"""Heights of the picture over the feet from which on what there is lies as near as they; and from which on it
is taken to where nobody is seen.
"""
_BESIDE = 0.03
"""Widths beside a body that are left out with it."""
_BODY_SHARE, _GROWN_PX = 0.004, 12
"""Share of the picture that a body fills; pixels by which what moves was grown (``moving``)."""


@dataclass(frozen=True)
class Body:
    """The largest thing that moves in a picture: the row on which it stands, and the columns that it and its
    shadow fill, px.
    """

    feet: float
    left: float
    right: float


def body(background: Grey) -> Body | None:
    """None where nothing large enough moves. ``background``: 0 where something does."""
    count, _, stats, _ = cv2.connectedComponentsWithStats((background == 0).astype(np.uint8))
    if count < 2:
        return None
    largest = stats[1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))]
    if largest[cv2.CC_STAT_AREA] < _BODY_SHARE * background.size:
        return None
    left, top, width, height = (float(n) for n in largest[: cv2.CC_STAT_AREA])
    return Body(top + height - _GROWN_PX, left, left + width)


def nearest_px(
    followed: Sequence[tuple[Points, Floats]],
    bodies: Sequence[Body | None],
    shift_px: Floats,
    shape: tuple[int, ...],
) -> float | None:
    """How far the nearest ground lies off the maps, px, the upper tenth over the pictures far from their key;
    None where too few of these show it. ``followed``: of each picture, places (n, 2) and how far
    these lie off its map (n, 2); ``bodies``: what moves before them, which is left out where it fills less
    than half of the width; ``shift_px``: (n,), how far each lies from its key.
    """
    height, width = shape[:2]
    known = [each.feet for each in bodies if each is not None]
    seen = len(known) > len(bodies) / 3
    from_row = float(np.quantile(known, 0.75)) - _OVER_FEET * height if seen else _LOWEST * height
    sizes = np.full(len(followed), np.nan)
    for number, ((places, off), before) in enumerate(zip(followed, bodies, strict=True)):
        low: Bools = places[:, 1] >= from_row
        if before is not None and before.right - before.left < width / 2:
            beside = _BESIDE * width
            low &= (places[:, 0] < before.left - beside) | (places[:, 0] > before.right + beside)
        column = np.clip(places[low, 0] * _COLUMNS / width, 0, _COLUMNS - 1).astype(int)
        sizes[number] = _agreed_px(middles(column, off[low], _COLUMNS))
    far = sizes[shift_px > _FAR * np.quantile(shift_px, 0.9)] if len(sizes) else sizes
    told = far[~np.isnan(far)]
    if not len(told) or len(told) < _ENOUGH * len(far):
        return None
    return float(np.quantile(told, 0.9))


def _agreed_px(cells: Floats) -> float:
    """How far cells (n, 2) are off, nan where few are known or these disagree: along a plain line corners
    slide, each its own way.
    """
    cells = cells[~np.isnan(cells[:, 0])]
    if len(cells) < _FEWEST_CELLS:
        return float("nan")
    middle = np.median(cells, axis=0)
    size = float(np.linalg.norm(middle))
    scatter = float(np.quantile(np.linalg.norm(cells - middle, axis=1), _AGREE))
    return size if scatter <= max(_AGREE_PX, _AGREE_SHARE * size) else float("nan")
