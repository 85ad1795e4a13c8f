"""Makes a face unrecognisable: coarse cells, blurred, in an ellipse. No anonymity: gait and kit stay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import cv2
import numpy as np

from analysis.report.canvas import WHOLE, Canvas, Point
from analysis.values.face_cover import FacePlace

FacePlaces = Mapping[int, FacePlace | None]
"""Where a face is covered, by frame; None where it is not in sight."""

_CELLS = 4
"""So many cells stand across a covered face, whatever its size: eyes and mouth melt together (own)."""
_SOFT = 0.06
_BLUR = 1.0
"""Standard deviation of the blur, in cells."""
_SHIFT = 6


def hide_faces(
    picture: Canvas,
    faces: Sequence[FacePlaces],
    frame: int,
    scale: float = 1.0,
    corner: Point = WHOLE,
) -> None:
    """Cover every face on a frame's picture in place. Raises KeyError where a face is not known there."""
    for places in faces:
        if (face := places[frame]) is not None:
            hide_face(picture, face, scale, corner)


def hide_face(picture: Canvas, face: FacePlace, scale: float, corner: Point) -> None:
    """Cover a face on a picture in place. ``scale``, ``corner``: as for drawing on it."""
    u, v = (face.u - corner[0]) * scale, (face.v - corner[1]) * scale
    across, down = face.half_u * scale, face.half_v * scale
    soft = max(1.0, _SOFT * min(across, down))
    ends = (u - across, v - down), (u + across, v + down)
    box = picture.box(ends, 2 * soft)
    if box is None:
        return
    left, top, right, bottom = box
    part = picture.pixels[top:bottom, left:right]
    cells = (_cells(right - left, across), _cells(bottom - top, down))
    coarse = cv2.GaussianBlur(cv2.resize(part, cells, interpolation=cv2.INTER_AREA), (0, 0), _BLUR)
    blurred = cv2.resize(coarse, (right - left, bottom - top), interpolation=cv2.INTER_CUBIC)
    mask = np.zeros(part.shape[:2], np.uint8)
    centre = round((u - left - 0.5) * (1 << _SHIFT)), round((v - top - 0.5) * (1 << _SHIFT))
    axes = round((across + soft) * (1 << _SHIFT)), round((down + soft) * (1 << _SHIFT))
    cv2.ellipse(mask, centre, axes, 0, 0, 360, (255,), -1, cv2.LINE_AA, _SHIFT)
    share = mask[..., None].astype(np.float32) / 255
    part[:] = np.round(share * blurred + (1 - share) * part).astype(np.uint8)


def _cells(length: int, half: float) -> int:
    return max(1, round(_CELLS * length / (2 * half)))
