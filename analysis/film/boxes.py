"""The boxes of an MP4 or MOV file (ISO/IEC 14496-12, 4.2)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

HEADER = 8
MOST_BOXES = 1000


def movie_extent(path: str) -> tuple[int, int] | None:
    """Where the content of the box ``moov`` begins and ends; None where there is none. Raises OSError."""
    with Path(path).open("rb") as file:
        size = file.seek(0, 2)
        place = 0
        for _ in range(MOST_BOXES):
            file.seek(place)
            header = file.read(2 * HEADER)
            if len(header) < HEADER:
                return None
            length = int.from_bytes(header[:4], "big")
            if length == 1:
                length = int.from_bytes(header[8:], "big")
            if length < HEADER or place + length > size:
                return None
            if header[4:8] == b"moov":
                return place + HEADER, place + length
            place += length
    return None


def boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Kind and content of boxes one behind the other, as far as they are whole."""
    place = 0
    for _ in range(MOST_BOXES):
        length = int.from_bytes(data[place : place + 4], "big")
        if length < HEADER or place + length > len(data):
            return
        yield data[place + 4 : place + HEADER], data[place + HEADER : place + length]
        place += length
