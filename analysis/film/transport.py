"""The end of a transport stream: whether it lies within a packet or within a picture (ISO/IEC 13818-1)."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

_SYNC = 0x47
_PACKETS = ((188, 0), (192, 4))
"""Bytes of a packet, and where in it its first byte is (2.4.3.2; the longer ones, of camcorders, begin with a
time of four bytes)."""

_BODY = 188
_TAIL = 1 << 22  # bytes that are looked at: several pictures
_VIDEO = range(0xE0, 0xF0)  # stream_id, table 2-22


def ends_in_a_packet(path: str) -> bool:
    """Whether a file is a transport stream that ends within a packet. Raises OSError."""
    with Path(path).open("rb") as file:
        layout = _layout(file)
        return layout is not None and file.seek(0, 2) % layout[0] != 0


def may_end_in_a_picture(path: str) -> bool:
    """Whether the last picture of a transport stream may go on behind its end.

    The last packet of a picture is stuffed up to its length; one of 184 pictures fits without, and is told
    from one that goes on only where its head says how long it is, as few do. Decoding it does not tell: of
    the ends of HEVC pictures that were cut away at packets, decoders make up one in ten without a word. Where
    a stream was cut between two pictures, nothing tells. Raises OSError.
    """
    with Path(path).open("rb") as file:
        layout = _layout(file)
        if layout is None:
            return False
        length, sync = layout
        whole = file.seek(0, 2) // length
        first = max(0, whole - _TAIL // length)
        file.seek(first * length)
        data = file.read((whole - first) * length)
    packets = [data[at + sync : at + sync + _BODY] for at in range(0, len(data), length)]
    begin = next((at for at in reversed(range(len(packets))) if _begins_a_picture(packets[at])), None)
    if begin is None:
        return False
    pictures = _program(packets[begin])
    picture = [one for one in packets[begin:] if _program(one) == pictures]
    return not _is_stuffed(picture[-1]) and not _has_all_that_it_says(picture)


def _layout(file: BinaryIO) -> tuple[int, int] | None:
    """Length of a packet and where it begins in it; None where the file is no transport stream."""
    head = file.read(3 * max(length for length, _ in _PACKETS))
    for length, sync in _PACKETS:
        if len(head) >= 3 * length and all(head[n * length + sync] == _SYNC for n in range(3)):
            return length, sync
    return None


def _program(packet: bytes) -> int:
    return (packet[1] & 0x1F) << 8 | packet[2]


def _has_adaptation(packet: bytes) -> bool:
    return bool(packet[3] & 0x20)


def _content(packet: bytes) -> bytes:
    return packet[5 + packet[4] if _has_adaptation(packet) else 4 :]


def _begins_a_picture(packet: bytes) -> bool:
    head = _content(packet)[:4]
    return bool(packet[1] & 0x40) and head[:3] == b"\0\0\1" and len(head) == 4 and head[3] in _VIDEO


def _has_all_that_it_says(picture: list[bytes]) -> bool:
    """Whether the packets of a picture hold as many bytes as its head says; 0 says nothing (2.4.3.7)."""
    content = b"".join(map(_content, picture))
    said = int.from_bytes(content[4:6], "big")
    return 0 < said <= len(content) - 6


def _is_stuffed(packet: bytes) -> bool:
    """Whether its adaptation field is longer than what it holds (2.4.3.4)."""
    if not _has_adaptation(packet):
        return False
    length = packet[4]
    if length == 0:
        return True
    flags, at = packet[5], 6
    at += 6 * bool(flags & 0x10) + 6 * bool(flags & 0x08) + bool(flags & 0x04)
    for counted in (0x02, 0x01):  # private data, extension: a length, then as many bytes
        if flags & counted and at < _BODY:
            at += 1 + packet[at]
    return at < 5 + length
