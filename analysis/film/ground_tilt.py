"""How far the ground is tilted in the picture, from long lines along it; before any mark is placed."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.film.bursts import Bursts, Grey

_UPPER = 0.4
"""Lines above this share of the picture's height are no lines on the ground (own)."""

_STEEPEST_DEG = 12.0
"""A camera that is held level by eye is not rolled farther (own)."""

_SHORTEST, _LONG, _FEWEST = 0.08, 0.3, 2.5
"""Widths of the picture: what counts as a line, how long one is at least, and all of them together (own)."""

_AGREE_DEG = 0.5
"""Half of the lines, by length, differ from the middle one by no more; from place to place of the film the
middle ones lie no farther apart than twice that (own)."""


def ground_tilt(bursts: Bursts) -> float | None:
    """Roll of the camera in degrees against the lines along the ground, above 0 where they fall to the right.

    None where long lines are too few, disagree, or change during the film. A camera that looks along the lane
    sees the lines fan out, which says nothing of its roll: then they disagree. Good to about half a degree.
    """
    told = [angle for burst in bursts.bursts if (angle := _angle(burst.pictures[0])) is not None]
    if not told or 2 * len(told) < len(bursts.bursts) or max(told) - min(told) > 2 * _AGREE_DEG:
        return None
    return float(np.median(told))


def _angle(picture: Grey) -> float | None:
    """The middle angle of the lines of one picture, where most of them agree."""
    angles, lengths = _lines(picture)
    if not len(lengths) or lengths.max() < _LONG or lengths.sum() < _FEWEST:
        return None
    middle = _weighted_median(angles, lengths)
    return middle if _weighted_median(np.abs(angles - middle), lengths) <= _AGREE_DEG else None


def _lines(picture: Grey) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Angles in degrees, above 0 where they fall to the right, and lengths in widths, of ground lines."""
    import cv2

    height, width = picture.shape
    found = cv2.createLineSegmentDetector(cv2.LSD_REFINE_ADV).detect(np.ascontiguousarray(picture))[0]
    ends = np.asarray(found if found is not None else [], np.float64).reshape(-1, 2, 2)  # type: ignore[redundant-expr]
    across, down = (ends[:, 1] - ends[:, 0]).T
    angles = (np.degrees(np.arctan2(down, across)) + 90.0) % 180.0 - 90.0
    lengths = np.hypot(across, down) / width
    low = ends[:, :, 1].mean(axis=1) > _UPPER * height
    kept = low & (lengths > _SHORTEST) & (np.abs(angles) < _STEEPEST_DEG)
    return angles[kept], lengths[kept]


def _weighted_median(values: npt.NDArray[np.float64], weights: npt.NDArray[np.float64]) -> float:
    order = np.argsort(values)
    share = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(share, share[-1] / 2)])
