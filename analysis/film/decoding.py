"""A live decoder: frames in presentation order from wherever it was last sent."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import suppress
from os import cpu_count

import av
from av.codec.context import ThreadType
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from analysis.film.container import READ_ERRORS, open_container
from analysis.film.whole_frames import WholeFrames

_MOST_THREADS = 4
"""Frames decoded at the same time: each more makes the first one after a jump come later."""


_USUAL_BITS = 12
"""Bits a pixel of a decoded frame with 8 bits, where the file does not say what it has."""

_HOLDS_FRAMES = 20
"""Frames' worth of memory that a live decoder needs: 9 to 12 of its own were seen with one thread and two,
and the picture made of one takes as much as three."""


class DamageMetError(Exception):
    """Several threads met damage, or other colours: which frames are whole, and which have those colours,
    can't be told until one thread decodes them.
    """


class Decoder:
    """Decodes one stream of a file. Made, used and closed on one thread.

    ``path``, ``stream``: the file and the position of the stream in it. ``counted_times``: for files without
    presentation times, the times that the first, second, ... frame take. ``threads``: how many decode, 0 for
    as many as there are processors, up to 4, each of which decodes a frame of its own. Several only find out
    that there is damage: then ``next`` raises DamageMetError, and the work is done again after ``go_alone``.
    ``reordered``: how many pictures may be decoded before one that is shown earlier.

    ``held_bytes``: what it holds itself while it decodes, reckoned at the most. Frames that are not whole,
    since data of them or of others that they refer to is damaged, are left out; ``whole`` knows them.

    Raises FilmError or MissingFilmError where the file can't be opened (any more).
    """

    held_bytes: int

    def __init__(
        self,
        path: str,
        stream: int,
        counted_times: Sequence[int] | None = None,
        threads: int = 0,
        reordered: int = 0,
    ) -> None:
        self._path = path
        self._stream_number = stream
        self._counted_times = counted_times
        self._threads = threads
        self._reordered = reordered
        self._ready: deque[VideoFrame] = deque()
        self.whole = WholeFrames()
        self._opens_anew = False
        self._container: InputContainer
        self._stream: VideoStream
        self._packets: Iterator[Packet[VideoStream]]
        self._open()

    def go_alone(self) -> None:
        """Decode with one thread from now on, from the first frame of the file."""
        self._threads = 1
        self.begin()

    def meet_other_colours(self) -> None:
        """A frame came that is coded by another standard or range than the film's first one.

        Where a frame doesn't say its own, a decoder takes those that it met last: in films that were put
        together they depend on the way there. From now on one thread decodes, and every seek opens the file
        anew. Raises DamageMetError where several decoded until now.
        """
        self._opens_anew = True
        self._meet_damage()

    def _open(self) -> None:
        self._container = open_container(self._path)
        stream = self._container.streams[self._stream_number]
        assert isinstance(stream, VideoStream)
        self._stream = stream
        context = stream.codec_context
        context.thread_count = self._threads or min(_MOST_THREADS, cpu_count() or 1)
        context.thread_type = ThreadType.FRAME
        self._alone = context.thread_count == 1
        if not self._alone and context.name == "h264":
            # A picture given away while another thread still decodes it is not told to be patched.
            context.options = {"has_b_frames": str(self._reordered + context.thread_count)}
        bits = context.format.padded_bits_per_pixel if context.format is not None else _USUAL_BITS
        self.held_bytes = _HOLDS_FRAMES * context.width * context.height * bits // 8
        self._restart()

    def _restart(self) -> None:
        self._packets = self._container.demux(self._stream)
        self._ready.clear()
        self.whole.begin()
        self._emitted = 0
        self._key_read = False
        self._flushed = False

    def _flush(self) -> None:
        """Take what the decoder still holds where the file broke off before its end was said."""
        self._flushed = True
        try:
            self._take(self._stream.codec_context.decode(None))
        except av.EOFError:
            pass  # its end had been said
        except READ_ERRORS:
            self._meet_damage()
        self._ready.extend(self.whole.rest())

    def begin(self) -> None:
        """Go back to the first frame of the file."""
        self.close()
        self._open()

    def seek(self, pts: int) -> None:
        """Go to the key frame at or before ``pts``, as far as the file's own table of contents is right."""
        if self._opens_anew:
            self.begin()
        with suppress(*READ_ERRORS):  # where it lands is seen by the frame that comes next
            self._container.seek(pts, stream=self._stream)
        self._restart()

    def next(self) -> VideoFrame | None:
        """The next frame in presentation order that is whole; None at the end."""
        while not self._ready:
            try:
                packet = next(self._packets, None)
            except READ_ERRORS:
                packet = None
                self._packets = iter(())
            if packet is None:
                if not self._flushed:
                    self._flush()
                    continue
                return None
            self._key_read |= packet.is_keyframe
            self.whole.feed(packet.pts)
            if packet.is_corrupt:
                self._lose(packet)
            try:
                self._take(packet.decode())
            except READ_ERRORS:
                self._lose(packet)
        return self._ready.popleft()

    def _lose(self, packet: Packet[VideoStream]) -> None:
        # what a seek leaves undecoded before the first key frame is no damage
        if self._key_read:
            self._meet_damage()
        self.whole.lose(packet.pts)

    def _meet_damage(self) -> None:
        if not self._alone:
            raise DamageMetError

    def _take(self, frames: Sequence[VideoFrame]) -> None:
        for frame in frames:
            if frame.is_corrupt and self.whole.judges:
                self._meet_damage()
            if self._counted_times is not None:
                last = len(self._counted_times) - 1
                frame.pts = self._counted_times[self._emitted] if self._emitted <= last else None
            self._emitted += 1
            self._ready.extend(self.whole.take(frame))

    def close(self) -> None:
        """Give the file back. May be called twice."""
        self._ready.clear()
        self._packets = iter(())
        self._container.close()
