"""The first pictures of a film, decoded on the way while its packets are listed."""

from __future__ import annotations

from collections import defaultdict
from contextlib import suppress

from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from analysis.film.container import READ_ERRORS

_MOST = 3
"""The first one tells size and turn, a few tell interlaced film."""


class FirstFrames:
    """The first few frames of each stream that is listed, in presentation order; damaged packets are skipped.

    Used while the container is open. One pass serves for both: to open a file once more takes as long as to
    decode its first picture.
    """

    def __init__(self) -> None:
        self._frames: defaultdict[int, list[VideoFrame]] = defaultdict(list)
        self._begun: set[int] = set()

    def take(self, stream: VideoStream, packet: Packet[VideoStream]) -> None:
        """Decode a packet of a stream while some of its first frames are missing."""
        frames = self._frames[stream.index]
        if len(frames) >= _MOST:
            return
        if stream.index not in self._begun:
            self._begun.add(stream.index)
            stream.codec_context.thread_count = 1  # several give each frame later, not sooner
        with suppress(*READ_ERRORS):
            frames.extend(packet.decode())

    def of(self, stream: VideoStream) -> list[VideoFrame]:
        """Those of a stream when all its packets are listed."""
        frames = self._frames[stream.index]
        if len(frames) < _MOST:  # the file may break off before its end was said
            with suppress(*READ_ERRORS):
                frames.extend(stream.codec_context.decode(None))
        return frames[:_MOST]
