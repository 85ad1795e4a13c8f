"""The list of shown frames, from one pass over the packets; only the first few are decoded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

import av
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from analysis.film.container import READ_ERRORS, is_usable
from analysis.film.first_frames import FirstFrames
from analysis.values.errors import FilmError
from analysis.values.film import IndexEntry
from analysis.values.words import tr

Watch = Callable[[float], None]
"""Told the share of the file that was read, 0 to 1, now and then; an error that it raises ends reading."""

_WATCHED_EVERY = 256
"""Packets from one word to the watch to the next."""

_ANEW = 8
"""A clock begins anew where so many packets lie before the middle of as many before them: one packet alone
may have a damaged time."""


_MOST_REORDERED = 4
"""Coders go no further; times that were made up may, and a decoder of H.264 can't wait for more than 15."""


_HELD_BACK = 1
"""A decoder that puts pictures in order holds back so many at least; how many more can't be asked."""


@dataclass
class PacketList:
    """What the packets of one stream say, in the order of the file.

    ``entries``: (pts, key) of packets to be shown; ``decode_times``: their dts, where every one has one.
    ``hidden``: packets that only help decoding; ``untimed``: packets without a time; ``order_unknown``: their
    times are not those of showing; ``doubles``: times that stood there twice; ``damaged``: times of packets
    that the file marks as damaged; ``broken``: reading ended with an error; ``beside``: streams of about as
    many pictures.
    """

    entries: list[tuple[int, bool]] = field(default_factory=list)
    decode_times: list[int] = field(default_factory=list)
    hidden: int = 0
    untimed: int = 0
    order_unknown: bool = False
    doubles: int = 0
    damaged: list[int] = field(default_factory=list)
    broken: bool = False
    beside: int = 0

    @property
    def shown(self) -> int:
        """How many packets are to be shown."""
        return len(self.entries) + self.untimed

    @property
    def counted(self) -> bool:
        """Whether frames must be counted, since the file doesn't say when most of them are shown."""
        return self.order_unknown or self.untimed > len(self.entries)

    @property
    def begins_anew(self) -> bool:
        """Whether times of decoding, which only rise, begin anew: two films, one behind the other."""
        times = np.asarray(self.decode_times)
        for at in np.flatnonzero(times[1:] < times[:-1]) + 1:
            before, after = times[max(0, at - _ANEW) : at], times[at : at + _ANEW]
            if len(after) == _ANEW and after.max() < np.median(before):
                return True
        return False

    @property
    def reordered(self) -> int:
        """How many pictures at the most are decoded before one that is shown earlier."""
        times = np.array([pts for pts, _ in self.entries])
        later = np.zeros(len(times), int)
        for back in range(1, min(_MOST_REORDERED + 1, len(times))):
            later[back:] += times[:-back] > times[back:]
        return min(_MOST_REORDERED, int(later.max(initial=0)))

    @property
    def left_out(self) -> int:
        """How many frames have no time in a film whose other frames have one."""
        return 0 if self.counted else self.untimed


def read_packets(
    container: InputContainer, watch: Watch | None = None
) -> tuple[VideoStream, PacketList, list[VideoFrame]]:
    """The video stream with the largest picture among those with many frames, its packets, and its first
    frames decoded.

    Raises FilmError where the file holds no picture that can be decoded.
    """
    streams = [stream for stream in container.streams.video if is_usable(stream)]
    if not streams:
        raise FilmError(tr("The file holds no moving picture. Choose a video file."))
    lists = {stream.index: PacketList() for stream in streams}
    by_number = {stream.index: stream for stream in streams}
    first = FirstFrames()
    try:
        for count, packet in enumerate(container.demux(tuple(streams))):
            if watch is not None and count % _WATCHED_EVERY == 0:
                watch(min(1.0, (packet.pos or 0) / max(1, container.size)))
            # an empty one ends a stream, and need not name it
            if packet.size and packet.stream_index in lists:
                _note(lists[packet.stream_index], packet)
                first.take(by_number[packet.stream_index], packet)
    except READ_ERRORS:
        for packets in lists.values():
            packets.broken = True
    # AVI stores no presentation times; what is read from it is the order of decoding.
    for stream in streams:
        lists[stream.index].order_unknown = (
            container.format.name == "avi" and stream.codec_context.has_b_frames
        )
    best = _main(streams, lists)
    if not lists[best.index].shown:
        raise FilmError(tr("The film holds no picture. Copy it from the phone again."))
    return best, lists[best.index], first.of(best)


def _main(streams: Sequence[VideoStream], lists: Mapping[int, PacketList]) -> VideoStream:
    """The stream with the largest picture, of those with at least half as many pictures as any."""
    most = max(lists[stream.index].shown for stream in streams)
    long = [stream for stream in streams if 2 * lists[stream.index].shown >= most]
    best = max(long, key=lambda stream: (stream.width * stream.height, lists[stream.index].shown))
    lists[best.index].beside = len(long) - 1
    return best


def _note(packets: PacketList, packet: av.Packet[VideoStream]) -> None:
    if packet.is_discard:
        packets.hidden += 1
        return
    if packet.dts is not None:
        packets.decode_times.append(packet.dts)
    if packet.pts is None:
        packets.untimed += 1
        return
    packets.entries.append((packet.pts, packet.is_keyframe))
    if packet.is_corrupt:
        packets.damaged.append(packet.pts)


def in_order(packets: PacketList) -> tuple[IndexEntry, ...]:
    """Shown frames in presentation order; of two with the same time the first stays.

    Raises FilmError where the file has no times at all, or where one time means two pictures.
    """
    if packets.begins_anew:
        raise FilmError(
            tr(
                "The file holds films one behind the other: its clock begins anew in the middle. Open the "
                "files that it was put together from, or export each film as one of its own."
            )
        )
    if packets.counted:
        return _by_decode_times(packets)
    return tuple(_without_doubles(sorted(packets.entries, key=_presentation), packets))


def _presentation(entry: tuple[int, bool]) -> int:
    return entry[0]


def _without_doubles(entries: Iterable[tuple[int, bool]], packets: PacketList) -> list[IndexEntry]:
    shown: list[IndexEntry] = []
    for pts, key in entries:
        if shown and shown[-1].pts == pts:
            # Decoding must not begin at one of two frames with the same time: it might be the wrong one.
            shown[-1] = IndexEntry(pts, key=len(shown) == 1 and shown[-1].key)
            packets.doubles += 1
        else:
            shown.append(IndexEntry(pts, key))
    return shown


def _by_decode_times(packets: PacketList) -> tuple[IndexEntry, ...]:
    """Without presentation times, a frame is shown when the decoder gives it: once those that it holds back
    are read. The last of them come at the usual interval.
    """
    times = sorted(set(packets.decode_times))
    if len(times) != packets.shown:
        raise FilmError(
            tr("The file does not say when its pictures are shown. Export it again as an MP4 film.")
        )
    usual = round(median(b - a for a, b in pairwise(times))) if len(times) > 1 else 1
    held = min(_HELD_BACK if packets.order_unknown else 0, len(times) - 1)
    shown = times[held:] + [times[-1] + usual * after for after in range(1, held + 1)]
    return tuple(IndexEntry(time, key=number == 0) for number, time in enumerate(shown))
