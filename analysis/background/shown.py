"""A path through a lens as one between pictures as they are shown, for who lays whole pictures together."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np

from analysis.background.following import grid
from analysis.ground.lens import straightened
from analysis.values.camera import CameraKind, CameraPath


def as_shown(path: CameraPath, size: tuple[int, int]) -> CameraPath:
    """The path with maps from the pixels of each frame as shown to straight pixels of the reference.

    ``size``: (width, height). What the lens bends within one picture no single map can undo: each is the one
    that fits over the whole picture. A path that was followed without a lens comes back as it is.
    """
    if path.lens is None or path.kind is CameraKind.STILL:
        return path
    places = grid((size[1], size[0]))
    straight = straightened(path.lens, places)
    known = np.isfinite(straight).all(axis=1)
    bend, _ = cv2.findHomography(places[known], straight[known])
    return replace(path, maps=path.maps @ bend, lens=None)
