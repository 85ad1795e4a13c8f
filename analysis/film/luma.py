"""The brightness of a shown picture, without making its colours."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame

from analysis.film.orientation import turned
from analysis.values.film import Film

Grey = npt.NDArray[np.uint8]

_PLAIN = {"yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "yuvj444p", "nv12", "nv21", "gray"}


def luma_of(film: Film, frame: VideoFrame) -> Grey:
    """Brightness of a frame as shown, (height, width) uint8; perhaps the frame's own memory: not to be
    written to.
    """
    if frame.format.name in _PLAIN:
        plane = frame.planes[0]
        lines = np.frombuffer(memoryview(plane), np.uint8).reshape(plane.height, plane.line_size)
        grey: Grey = lines[: frame.height, : frame.width]
    else:
        grey = np.asarray(frame.reformat(format="gray", threads=1).to_ndarray(), np.uint8)
    wide = round(film.stored_width * film.pixel_aspect)
    if wide != grey.shape[1]:
        grey = np.asarray(cv2.resize(grey, (wide, grey.shape[0]), interpolation=cv2.INTER_AREA), np.uint8)
    return turned(grey, film.rotation_deg, film.mirrored)
