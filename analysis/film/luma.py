"""The brightness of a shown picture and its colours' distance from grey, as the film itself holds them."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame

from analysis.film.orientation import turned
from analysis.values.film import Film

Grey = npt.NDArray[np.uint8]

_PLAIN = {"yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "yuvj444p", "nv12", "nv21", "gray"}
_HALVED = {"yuv420p", "yuvj420p", "nv12", "nv21"}


def luma_of(film: Film, frame: VideoFrame) -> Grey:
    """Brightness of a frame as shown, (height, width) uint8; perhaps the frame's own memory: not to be
    written to.
    """
    if frame.format.name in _PLAIN:
        grey = _plane(frame, 0)[: frame.height, : frame.width]
    else:
        grey = np.asarray(frame.reformat(format="gray", threads=1).to_ndarray(), np.uint8)
    wide = _wide(film)
    if wide != grey.shape[1]:
        grey = np.asarray(cv2.resize(grey, (wide, grey.shape[0]), interpolation=cv2.INTER_AREA), np.uint8)
    return turned(grey, film.rotation_deg, film.mirrored)


def tint_of(film: Film, frame: VideoFrame, rows: slice = slice(None)) -> Grey | None:
    """Colour of a frame as shown, (height / 2, width / 2, 2) uint8: blue and red against brightness, 128 for
    neither; None for a film without colours. ``rows``: only these of it.
    """
    if frame.format.name == "gray":
        return None
    if frame.format.name not in _HALVED:
        frame = frame.reformat(format="yuv420p", threads=1)
    if frame.format.name.startswith("nv"):
        plane = frame.planes[1]
        lines = np.frombuffer(memoryview(plane), np.uint8).reshape(plane.height, plane.line_size)
        pairs = lines[:, : plane.width * 2].reshape(plane.height, plane.width, 2)
        tint: Grey = np.ascontiguousarray(pairs[..., ::-1] if frame.format.name == "nv21" else pairs)
    else:
        upright = film.rotation_deg == 0 and not film.mirrored
        part, rows = (rows, slice(None)) if upright else (slice(None), rows)
        tint = np.asarray(cv2.merge([_plane(frame, 1)[part], _plane(frame, 2)[part]]), np.uint8)
    wide = _wide(film)
    if wide != frame.width:
        tint = np.asarray(
            cv2.resize(tint, ((wide + 1) // 2, tint.shape[0]), interpolation=cv2.INTER_AREA), np.uint8
        )
    return turned(tint, film.rotation_deg, film.mirrored)[rows]


def _wide(film: Film) -> int:
    """Columns of the stored picture as shown before it is turned."""
    square = film.pixel_aspect.numerator == film.pixel_aspect.denominator  # asked for each frame
    return film.stored_width if square else round(film.stored_width * film.pixel_aspect)


def _plane(frame: VideoFrame, number: int) -> Grey:
    plane = frame.planes[number]
    lines = np.frombuffer(memoryview(plane), np.uint8).reshape(plane.height, plane.line_size)
    out: Grey = lines[:, : plane.width]
    return out
