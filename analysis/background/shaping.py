"""Pictures made smaller and warped."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from analysis.background.pictures import Floats, Grey

Levels = npt.NDArray[np.float32]


def middle_of_seen(pictures: npt.NDArray[np.uint8], seen: npt.NDArray[np.bool_], fewest: int) -> Levels:
    """The median of those pictures (n, rows, columns) that see a pixel, nan where fewer than so many do."""
    often = seen.sum(axis=0)
    levels = np.sort(np.where(seen, pictures, 255), axis=0)  # what is not seen comes last
    middle = np.take_along_axis(levels, (np.maximum(often - 1, 0) // 2)[None], axis=0)[0].astype(np.float32)
    middle[often < fewest] = np.nan
    return np.asarray(middle, np.float32)


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


_SMALLER, _FEWEST = 8, 100
_OTHER_LIGHT, _LEAST_SPREAD = 1.5, 8.0
"""Grey levels by which darks, middles or lights differ under another light; and apart from which darks and
lights must lie to tell its strength.
"""
_CLEARLY = 0.5
"""Of what pictures differ by: so little is left where it was the light."""


def in_the_light_of(picture: Grey, other: Grey, through: Floats | None = None) -> Grey:
    """The picture as bright and as strong in contrast as another that lies upon it nearly to the pixel;
    itself where they are. ``through``: the map by which the other was warped; only what it showed is held
    against it. People in front of less than half of the darks, or the lights, do no harm.
    """
    size = picture.shape[1] // _SMALLER, picture.shape[0] // _SMALLER
    if min(size) < 2:
        return picture
    few, like = (resized(one, size).astype(np.float64).ravel() for one in (picture, other))
    if through is not None:
        fewer = np.diag([1 / _SMALLER, 1 / _SMALLER, 1.0])
        shape = (size[1], size[0])
        shown = shown_part(shape, fewer @ through @ np.linalg.inv(fewer), shape).ravel() > 0
        few, like = few[shown], like[shown]
    if len(few) < _FEWEST:
        return picture
    thirds = np.array_split(np.argsort(few + like, kind="stable"), 3)
    here, there = (np.array([np.median(one[part]) for part in thirds]) for one in (few, like))
    spread, wanted = here[2] - here[0], there[2] - there[0]
    if np.abs(here - there).max() < _OTHER_LIGHT or min(spread, wanted) < _LEAST_SPREAD:
        return picture
    gain = float(np.clip(wanted / spread, 0.5, 2.0))
    more = float(there[1] - gain * here[1])
    if np.median(np.abs(gain * few + more - like)) > _CLEARLY * np.median(np.abs(few - like)):
        return picture  # it is the place that differs, not the light
    grey = np.arange(256) * gain + more
    return np.asarray(cv2.LUT(picture, np.clip(np.rint(grey), 0, 255).astype(np.uint8)), np.uint8)
