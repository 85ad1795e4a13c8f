"""Writes frames as an H.264 film with true times."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from av.video.reformatter import ColorRange, Colorspace
from numpy.typing import NDArray

KEYFRAME_EVERY = 60
BT709 = 1  # primaries and transfer, ITU-T H.273


def write_film(
    path: Path, frames: Iterable[NDArray[np.uint8]], width: int, height: int, fps: float, crf: int
) -> None:
    """Writes frames (height, width, 3), red first, as H.264 in yuv420p, tagged BT.709.

    Frame i is shown at i / fps s.
    """
    rate = Fraction(fps).limit_denominator(1001)
    options = {
        "crf": str(crf),
        "preset": "veryfast",
        # A fixed number of threads: the same bytes on every machine.
        "x264-params": f"keyint={KEYFRAME_EVERY}:min-keyint={KEYFRAME_EVERY}:scenecut=0:threads=2",
    }
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=rate, options=options)
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.time_base = stream.codec_context.time_base = 1 / rate
        context = stream.codec_context
        context.colorspace, context.color_range = Colorspace.ITU709, ColorRange.MPEG
        context.color_primaries, context.color_trc = BT709, BT709
        for i, picture in enumerate(frames):
            rgb = av.VideoFrame.from_ndarray(picture, format="rgb24")
            frame = rgb.reformat(
                format="yuv420p", dst_colorspace=Colorspace.ITU709, dst_color_range=ColorRange.MPEG
            )
            frame.pts, frame.time_base = i, 1 / rate
            container.mux(stream.encode(frame))
        container.mux(stream.encode())


def count_frames(path: Path) -> int:
    """How many frames the film decodes to."""
    with av.open(str(path)) as container:
        container.streams.video[0].thread_type = "AUTO"
        return sum(1 for _ in container.decode(video=0))
