"""What the head of a Matroska or WebM file says of its own length, in bytes and in time (RFC 9559)."""

from __future__ import annotations

import os
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

_EBML, _SEGMENT, _INFO = 0x1A45DFA3, 0x18538067, 0x1549A966
_SCALE, _DURATION = 0x2AD7B1, 0x4489
_USUAL_SCALE_NS = 1_000_000  # RFC 9559, 5.1.2.9
_MOST_ELEMENTS = 100  # before the first pictures; a head has fewer than ten
_MOST_BYTES = 1 << 16  # of an element that holds a few numbers


@dataclass(frozen=True)
class MatroskaHead:
    """``end``: the byte behind the last one; ``lasts_s``: how long the longest track is. None: not said."""

    end: int | None
    lasts_s: float | None


def matroska_head(path: str) -> MatroskaHead | None:
    """What the file says; None where it is no Matroska file. Raises OSError."""
    with Path(path).open("rb") as file:
        head = _element(file)
        if head is None or head.kind != _EBML or not _behind(file, head):
            return None
        segment = _element(file)
        if segment is None or segment.kind != _SEGMENT:
            return None
        return MatroskaHead(segment.end, _lasts_s(file))


@dataclass(frozen=True)
class _Element:
    kind: int
    begin: int
    end: int | None  # None where the length is not known


def _lasts_s(file: BinaryIO) -> float | None:
    for element in _elements(file, None):
        if element.kind == _INFO and element.end is not None:
            return _duration_s(file, element)
    return None


def _duration_s(file: BinaryIO, info: _Element) -> float | None:
    scale_ns, ticks = _USUAL_SCALE_NS, 0.0
    file.seek(info.begin)
    for element in _elements(file, info.end):
        data = file.read(min(_MOST_BYTES, (element.end or element.begin) - element.begin))
        if element.kind == _SCALE:
            scale_ns = int.from_bytes(data, "big")
        elif element.kind == _DURATION and len(data) in (4, 8):
            ticks = struct.unpack(">f" if len(data) == 4 else ">d", data)[0]
    lasts_s = ticks * scale_ns / 1e9
    return lasts_s if 0 < lasts_s < float("inf") else None


def _elements(file: BinaryIO, end: int | None) -> Iterator[_Element]:
    """Elements one after another from where the file stands; the file stands at the content of each."""
    for _ in range(_MOST_ELEMENTS):
        element = None if end is not None and file.tell() >= end else _element(file)
        if element is None:
            return
        yield element
        if not _behind(file, element):
            return


def _behind(file: BinaryIO, element: _Element) -> bool:
    """Go behind an element; False where the file does not reach so far, or nothing says how far that is."""
    if element.end is None or element.end > os.fstat(file.fileno()).st_size:
        return False  # no system goes to any place that a damaged length may name
    file.seek(element.end)
    return True


def _element(file: BinaryIO) -> _Element | None:
    """The element that begins here; None where none does."""
    kind, length = _number(file, marked=True), _number(file, marked=False)
    if kind is None or length is None:
        return None
    begin = file.tell()
    return _Element(kind[0], begin, None if length[1] else begin + length[0])


def _number(file: BinaryIO, *, marked: bool) -> tuple[int, bool] | None:
    """A number of any length and whether all its bits are set (RFC 8794, 4). ``marked``: with its mark."""
    first = file.read(1)
    if not first or not first[0]:
        return None
    width = 9 - first[0].bit_length()
    rest = file.read(width - 1)
    if len(rest) < width - 1:
        return None
    number = int.from_bytes(first + rest, "big")
    bare = number & ((1 << 7 * width) - 1)
    return (number if marked else bare), bare == (1 << 7 * width) - 1
