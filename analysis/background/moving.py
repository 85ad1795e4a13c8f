"""What moves in front of the background: where a picture differs from a warped one."""

from __future__ import annotations

import cv2
import numpy as np

from analysis.background.pictures import Floats, Grey
from analysis.background.shaping import in_the_light_of, resized, resized_mask, shown_part

_SHRINK = 4
_LEAST_LEVELS, _SPREADS = 14.0, 5.0
_MOST = 0.45
"""Where more than this share seems to move, the light changed or the map is off: nothing is left out."""


def moving(warped: Grey, picture: Grey, through: Floats) -> Grey:
    """255 where the picture shows background, 0 where something moves; as large as the picture.

    ``through``: the map by which the other picture was warped; what it didn't show is taken as background.
    """
    height, width = picture.shape
    size = (max(1, width // _SHRINK), max(1, height // _SHRINK))
    small = resized(in_the_light_of(picture, warped, through), size).astype(np.float32)
    other = resized(warped, size).astype(np.float32)
    shrink = np.diag([size[0] / width, size[1] / height, 1.0])
    shown = shown_part(size[::-1], shrink @ through @ np.linalg.inv(shrink), size[::-1])
    apart = cv2.GaussianBlur(small - other, (0, 0), 1.0)
    apart = np.abs(apart - np.median(apart[::3, ::3]))
    limit = max(_LEAST_LEVELS, _SPREADS * 1.4826 * float(np.median(apart[::3, ::3])))
    differs = ((apart > limit) & (shown > 0)).astype(np.uint8)
    # Edges that are a fraction of a pixel off are thin; a body is not.
    body = cv2.morphologyEx(differs, cv2.MORPH_OPEN, np.ones((2, 2), np.uint8))
    body = cv2.dilate(body, np.ones((7, 7), np.uint8))
    if body.mean() > _MOST:
        return np.full((height, width), 255, np.uint8)
    still = np.where(body > 0, 0, 255).astype(np.uint8)
    return resized_mask(still, (width, height))
