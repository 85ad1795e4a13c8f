"""How the stored picture is turned to be shown."""

from __future__ import annotations

import math
import struct
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from av.sidedata.sidedata import SideDataContainer, Type
from av.video.frame import VideoFrame

Kind = TypeVar("Kind", bound=np.generic)


@dataclass(frozen=True)
class Orientation:
    """A turn anticlockwise by 0, 90, 180 or 270 degrees, then perhaps a flip left to right.

    ``slanted``: the file asks for another angle, of which the nearest quarter turn is taken.
    """

    rotation_deg: int = 0
    mirrored: bool = False
    slanted: bool = False


def orientation_of(frame: VideoFrame) -> Orientation:
    """What the display matrix of a decoded frame asks for; no turn where there is none."""
    # not frame.side_data: frame and container then hold each other, and 10 MB of a film that is closed
    side_data = SideDataContainer(frame)  # type: ignore[call-arg]  # unknown to its stubs
    if Type.DISPLAYMATRIX not in side_data:
        return Orientation()
    return from_matrix(struct.unpack("=9i", bytes(side_data[Type.DISPLAYMATRIX])[:36]))


def from_matrix(matrix: tuple[int, ...]) -> Orientation:
    """The orientation that a display matrix ``a b u c d v x y w`` asks for.

    A stored pixel (x right, y down) is shown at (a x + c y, b x + d y), up to a shift.
    """
    a, b, _, c, d = matrix[:5]
    if a * d - b * c == 0:
        return Orientation()
    mirrored = a * d - b * c < 0
    if mirrored:  # undo the flip, which comes after the turn
        a, c = -a, -c
    # With y down, an anticlockwise turn takes (1, 0) to (cos, -sin).
    angle = math.degrees(math.atan2(-b, a)) % 360
    turns = round(angle / 90)
    return Orientation(turns % 4 * 90, mirrored, slanted=abs(angle - turns * 90) > 1)


def turned(picture: npt.NDArray[Kind], rotation_deg: int, mirrored: bool) -> npt.NDArray[Kind]:
    """A picture (height, width, ...) as shown; the same memory, looked at in another order."""
    as_shown = np.rot90(picture, rotation_deg // 90) if rotation_deg else picture
    return as_shown[:, ::-1] if mirrored else as_shown


def oriented(picture: npt.NDArray[np.uint8], rotation_deg: int, mirrored: bool) -> npt.NDArray[np.uint8]:
    """The picture as shown, C-contiguous; ``picture`` (h, w, 4) itself where nothing is to be done."""
    if rotation_deg == 0 and not mirrored:
        return np.ascontiguousarray(picture)
    # One number per pixel: moving whole pixels is several times quicker than moving bytes.
    pixels = np.ascontiguousarray(picture).view(np.uint32)[:, :, 0]
    shown = np.ascontiguousarray(turned(pixels, rotation_deg, mirrored))
    return shown.view(np.uint8).reshape(*shown.shape, 4)
