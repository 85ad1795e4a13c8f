"""A lens with one radial coefficient: from bent pixels to straight ones and back.

The model is the first term of the radial one of OpenCV's calib3d documentation: ``x' = x (1 + k1 r^2)``, from
the centre in units of the focal length, x the straight place and x' the one that is seen.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.values.camera import Lens

Floats = npt.NDArray[np.float64]

_TURNS = 12


def bent(lens: Lens, straight: Floats) -> Floats:
    """Where straight pixels are seen, shape (n, 2)."""
    x = (straight - np.array(lens.centre)) / lens.focal_px
    out: Floats = np.array(lens.centre) + lens.focal_px * x * (1.0 + lens.k1 * _square(x))
    return out


def straightened(lens: Lens, seen: Floats) -> Floats:
    """The straight pixels of seen ones, shape (n, 2); NaN where the lens folds the picture back."""
    x = (seen - np.array(lens.centre)) / lens.focal_px
    r_seen = np.sqrt(_square(x))[:, 0]
    r = r_seen.copy()
    with np.errstate(all="ignore"):
        for _ in range(_TURNS):
            r = r - (r * (1.0 + lens.k1 * r * r) - r_seen) / (1.0 + 3.0 * lens.k1 * r * r)
        fits = np.abs(r * (1.0 + lens.k1 * r * r) - r_seen) < 1e-9 * (1.0 + r_seen)
        fits &= (1.0 + 3.0 * lens.k1 * r * r > 0.0) & (r >= 0.0)
        share = np.where(r_seen > 0.0, r / r_seen, 1.0)
    share = np.where(fits, share, np.nan)
    out: Floats = np.array(lens.centre) + lens.focal_px * x * share[:, None]
    return out


def stretch(lens: Lens, straight: Floats) -> Floats:
    """How many straight pixels a seen one is near these straight places, mean of the two ways, (n,)."""
    turned = lens.k1 * _square((straight - np.array(lens.centre)) / lens.focal_px)[:, 0]
    out: Floats = 1.0 / np.sqrt(np.maximum(1e-6, (1.0 + turned) * (1.0 + 3.0 * turned)))
    return out


def moved_by_k1(lens: Lens, straight: Floats) -> Floats:
    """How a straight place moves per unit of ``k1`` while the seen one stays, px, shape (n, 2)."""
    x = (straight - np.array(lens.centre)) / lens.focal_px
    square = _square(x)
    out: Floats = -lens.focal_px * x * square / (1.0 + 3.0 * lens.k1 * square)
    return out


def _square(x: Floats) -> Floats:
    out: Floats = (x * x).sum(axis=1, keepdims=True)
    return out
