"""Pictures made smaller and warped."""

from __future__ import annotations

import cv2
import numpy as np

from analysis.background.pictures import Floats, Grey


def resized(picture: Grey, size: tuple[int, int]) -> Grey:
    """A picture in another size (width, height), by the mean over each new pixel."""
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)


def resized_mask(mask: Grey, size: tuple[int, int]) -> Grey:
    """A mask in another size (width, height), with no value that it didn't have."""
    return np.asarray(cv2.resize(mask, size, interpolation=cv2.INTER_NEAREST), np.uint8)


def warped(
    picture: Grey, through: Floats, shape: tuple[int, ...], beyond: int = cv2.BORDER_REPLICATE
) -> Grey:
    """A picture taken through a map, as (height, width) ``shape``."""
    return np.asarray(
        cv2.warpPerspective(picture, through, (shape[1], shape[0]), borderMode=beyond), np.uint8
    )


def shown_part(of: tuple[int, ...], through: Floats, shape: tuple[int, ...]) -> Grey:
    """255 where a picture of shape ``of`` lies after warping, 0 beyond."""
    return warped(np.full(of[:2], 255, np.uint8), through, shape, cv2.BORDER_CONSTANT)
