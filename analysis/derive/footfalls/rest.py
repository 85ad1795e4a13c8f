"""When a body that rested begins to move: sooner than pictures close together tell."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Bools = npt.NDArray[np.bool_]
Frames = npt.NDArray[np.uint8]

_BEFORE_S = 0.15
"""So long before it is seen to move from picture to picture it may have begun."""
_FEWEST = 4
_OTHER_LEVELS, _SPREADS = 4.0, 6.0
"""Grey levels, and times its own spread at rest, by which a pixel differs from what it was at rest."""
_FEWEST_PX, _MORE = 5.0, 1.5
"""So many pixels differ, and so many times as many as at rest, where a body has moved."""
_FOLLOWED = (8.0, 8.0)
"""Levels and pixels where the camera was followed, which shakes what rests."""
_REACH = 0.7
"""Body heights on either side of it that are looked at."""


def stirs_from(small: Frames, seen: Bools, place: int, first: int, tall: float, rate_hz: float) -> int:
    """The picture from which a body differs from how it rested, and goes on to; ``first`` where none tells.

    ``small``: (n, h, w) pictures in one plane; ``seen``: which of their pixels a frame sees, all before a
    still camera; ``place``: the body's column at rest; ``first``: the picture from which it is seen to move;
    ``tall``: of the body, px.
    """
    rested = first - round(_BEFORE_S * rate_hz)
    if rested < _FEWEST:
        return first
    reach = round(_REACH * tall)
    columns = slice(max(0, place - reach), place + reach + 1)
    part = small[: first + 1, :, columns].astype(np.float32)
    off = np.abs(part - np.median(part[:rested], axis=0))
    spread = 1.4826 * np.median(off[:rested], axis=0)
    levels, fewest = (_OTHER_LEVELS, _FEWEST_PX) if seen.all() else _FOLLOWED
    always = seen[: first + 1, :, columns].all(axis=0)
    other = ((off > np.maximum(levels, _SPREADS * spread)) & always).sum(axis=(1, 2))
    over = max(fewest, _MORE * float(np.quantile(other[:rested], 0.9)) + 2)
    begin = first
    while begin > 0 and other[begin - 1] > over:
        begin -= 1
    return begin
