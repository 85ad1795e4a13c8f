"""Writes pictures as a film for any phone: MP4, H.264, 4:2:0, AAC; nothing of camera or maker in it."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from av.bitstream import BitStreamFilterContext
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc, VideoReformatter
from av.video.stream import VideoStream

from analysis.report.canvas import Pixels
from analysis.report.film_sound import Sound

CODER = {"preset": "veryfast", "crf": "20", "profile": "high"}
_CONTAINER = {"movflags": "+faststart", "fflags": "+bitexact"}
"""Begins to play before all of it has come, and says neither when nor with what it was written."""


_NO_NOTES = "filter_units=remove_types=6"
"""Without what the coder notes of itself (SEI, ITU-T H.264, 7.4.1)."""


def write_film(
    path: Path,
    pictures: Iterable[Pixels],
    rate_hz: Fraction,
    threads: int = 0,
    sound: bytes | None = None,
) -> int:
    """Write pictures of one size, (height, width, 4) blue, green, red, 255, at a rate; how many there were.

    A picture that comes again, as the same object, is not converted anew. Of an odd width or height the last
    column or row is left out: the coder knows even sizes only. ``threads``: how many encode, 0 for as many as
    there are processors. ``sound``: a sound file that is heard from the first picture on, no longer than they
    last. Raises OSError where the file can't be written.
    """
    written = 0
    with av.open(str(path), "w", format="mp4", options=_CONTAINER) as container:
        stream = container.add_stream("libx264", rate=rate_hz, options=CODER)
        stream.pix_fmt = "yuv420p"
        stream.codec_context.thread_count = threads
        heard = None if sound is None else Sound(container, sound)
        strip = BitStreamFilterContext(_NO_NOTES, stream)
        before, frame, converter = None, None, VideoReformatter()
        for picture in pictures:
            if frame is None or picture is not before:
                before, frame = picture, _converted(picture, converter)
            if not written:
                _begin(stream, frame)
            frame.pts, frame.time_base = written, 1 / rate_hz
            container.mux(_filtered(strip, stream.encode(frame)))
            written += 1
            if heard is not None:
                heard.write_until(float(written / rate_hz))
        container.mux(_filtered(strip, [*stream.encode(None), None]))
        if heard is not None:
            heard.finish(float(written / rate_hz))
    return written


def _filtered(strip: BitStreamFilterContext, packets: Iterable[Packet[Any] | None]) -> list[Packet[Any]]:
    return [kept for packet in packets for kept in strip.filter(packet)]


def _begin(stream: VideoStream, frame: VideoFrame) -> None:
    stream.width, stream.height = frame.width, frame.height
    context = stream.codec_context
    context.colorspace = Colorspace.ITU709
    context.color_primaries = ColorPrimaries.BT709
    context.color_trc = ColorTrc.BT709
    context.color_range = ColorRange.MPEG


def _converted(picture: Pixels, converter: VideoReformatter) -> VideoFrame:
    height, width = (side // 2 * 2 for side in picture.shape[:2])
    frame = VideoFrame.from_numpy_buffer(np.ascontiguousarray(picture[:height, :width]), format="bgra")
    return converter.reformat(
        frame,
        format="yuv420p",
        dst_colorspace=Colorspace.ITU709,
        dst_color_range=ColorRange.MPEG,
        threads=1,
    )
