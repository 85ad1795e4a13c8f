"""By which standard a frame is coded, and in which range."""

from __future__ import annotations

from av.video.frame import VideoFrame

_FULL = 2
_FULL_FORMATS = "yuvj"
"""Formats that say by their names that all levels are used, whatever else is said of the range."""


def colours_of(frame: VideoFrame) -> tuple[int, int]:
    """Standard and range of a decoded frame as the decoding library counts them (2, 0: it doesn't say)."""
    full = frame.format.name.startswith(_FULL_FORMATS)
    return int(frame.colorspace), _FULL if full else int(frame.color_range)
