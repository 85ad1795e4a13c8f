"""The last columns of a picture, which the converter leaves as chance has them.

Its quick way from the usual formats to four bytes a pixel works on 16 columns at a time and does not write
the last one to four where the width is so many above a multiple of 16, lines being even in number (found by
converting the same frame in memory with other contents, libswscale 9).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame
from av.video.reformatter import Colorspace, VideoReformatter

_AT_A_TIME = 16
_LEFT_OUT = 4
_QUICK = {"yuv420p", "yuvj420p", "yuv422p", "yuvj422p"}


def is_quick(frame: VideoFrame, width: int, height: int) -> bool:
    """Whether a picture of such a size is made of the frame in the converter's quick way."""
    same = (width, height) == (frame.width, frame.height)
    return same and frame.format.name in _QUICK and height % 2 == 0


class LastColumns:
    """Converts them alone; keeps the converter, which is costly to set up."""

    def __init__(self) -> None:
        self._converter = VideoReformatter()

    def missing(self, frame: VideoFrame, width: int, height: int) -> int:
        """How many columns of the picture of such a size, made of the frame, are not the frame's."""
        beyond = width % _AT_A_TIME
        return beyond if beyond <= _LEFT_OUT and is_quick(frame, width, height) else 0

    def write(
        self, picture: npt.NDArray[np.uint8], frame: VideoFrame, missing: int, colours: Colorspace | None
    ) -> None:
        """Put them into the picture (height, width, 4) that was made of the frame."""
        strip = VideoFrame(2 * _AT_A_TIME, frame.height, frame.format.name)
        strip.colorspace, strip.color_range = frame.colorspace, frame.color_range
        for source, target in zip(frame.planes, strip.planes, strict=True):
            whole = np.frombuffer(memoryview(source), np.uint8).reshape(source.height, source.line_size)
            lines = np.zeros((target.height, target.line_size), np.uint8)
            # planes of colour have half as many columns
            first = (frame.width - missing) // (strip.width // target.width)
            kept = whole[:, first : source.width]
            lines[:, : kept.shape[1]] = kept
            target.update(lines.tobytes())
        shown = self._converter.reformat(strip, format="bgra", src_colorspace=colours, threads=1)
        plane = shown.planes[0]
        made = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
        picture[:, -missing:] = made[:, : 4 * missing].reshape(frame.height, missing, 4)
