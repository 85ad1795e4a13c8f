"""What some phones write into a box of their own about slow motion."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from analysis.film.boxes import HEADER, MOST_BOXES, boxes, movie_extent

_MOST_BYTES = 1 << 20
"""A larger box is no note of a camera's."""

_VERSION = 4  # bytes of version and flags at the head of the box
_FIXED_POINT = 65536.0


@dataclass(frozen=True)
class CameraBox:
    """``rate_hz``: frames per second of filming, None where it isn't told. ``slow``: it was slow motion."""

    rate_hz: float | None
    slow: bool


def camera_box(path: str) -> CameraBox | None:
    """The box ``smta`` of an MP4 file, if it says anything; None for everything else. Raises OSError.

    The box holds small ones: ``srfr``, the rate of filming as a 16.16 number, and ``saut``, whose last number
    but two is a mode of recording, 0 for the ordinary one. As seen in files of such phones.
    """
    movie = movie_extent(path)
    return None if movie is None else _in_movie(path, *movie)


def _in_movie(path: str, begin: int, end: int) -> CameraBox | None:
    with Path(path).open("rb") as file:
        for _ in range(MOST_BOXES):
            file.seek(begin)
            header = file.read(HEADER)
            length = int.from_bytes(header[:4], "big")
            if len(header) < HEADER or length < HEADER or begin + length > end:
                return None
            if header[4:] == b"udta" and length <= _MOST_BYTES:
                found = in_user_data(file.read(length - HEADER))
                if found is not None:
                    return found
            begin += length
    return None


def in_user_data(data: bytes) -> CameraBox | None:
    """The same from the content of the box ``udta``, whatever its bytes are."""
    for kind, content in boxes(data):
        if kind == b"smta":
            parts = dict(boxes(content[_VERSION:]))
            rate = parts.get(b"srfr", b"")
            mode = parts.get(b"saut", b"")
            if len(rate) == 4 or len(mode) == 8:
                told = int.from_bytes(rate, "big") / _FIXED_POINT if len(rate) == 4 else 0.0
                return CameraBox(told or None, len(mode) == 8 and mode[5] != 0)
    return None
