"""Where an editor cut a film without encoding it anew: what the edit lists of MP4 and MOV files say."""

from __future__ import annotations

import struct
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from analysis.film.boxes import boxes, movie_extent

_MOST_BYTES = 1 << 26
"""A longer table is no film's: hours at 240 frames a second take less."""

_SAME_S = 0.005
"""Parts that follow each other so closely were not cut apart; lengths are told in ms by many (own)."""


class _Edit(NamedTuple):
    lasts_s: float
    begins_s: float
    """Where in the film's own time; below 0 where nothing is shown."""


def cuts_s(path: str) -> tuple[float, ...]:
    """When, in s from the first picture, a part of the film is left out, comes again or comes out of turn.

    Of the first track of pictures; empty where the file says nothing of the kind. Raises OSError.
    """
    extent = movie_extent(path)
    if extent is None or extent[1] - extent[0] > _MOST_BYTES:
        return ()
    with Path(path).open("rb") as file:
        file.seek(extent[0])
        movie = list(boxes(file.read(extent[1] - extent[0])))
    scale = next((_timescale(content) for kind, content in movie if kind == b"mvhd"), 0)
    for kind, content in movie:
        track = dict(boxes(content)) if kind == b"trak" else {}
        media = dict(boxes(track.get(b"mdia", b"")))
        if media.get(b"hdlr", b"")[8:12] == b"vide":
            edits = dict(boxes(track.get(b"edts", b""))).get(b"elst", b"")
            return _cuts(_edits(edits, scale, _timescale(media.get(b"mdhd", b""))))
    return ()


def _cuts(edits: list[_Edit]) -> tuple[float, ...]:
    shown = [edit for edit in edits if edit.begins_s >= 0]
    found, at = [], 0.0
    for edit, after in pairwise(shown):
        at += edit.lasts_s
        if abs(edit.begins_s + edit.lasts_s - after.begins_s) > _SAME_S:
            found.append(at)
    return tuple(found)


def _timescale(header: bytes) -> int:
    """Units a second by the box ``mvhd`` or ``mdhd`` (8.2.2, 8.4.2); 0 where it doesn't say."""
    place = 20 if header[:1] == b"\1" else 12
    return int.from_bytes(header[place : place + 4], "big")


def _edits(content: bytes, movie_scale: int, media_scale: int) -> list[_Edit]:
    """The parts that the box ``elst`` names (8.6.6)."""
    entry = struct.Struct(">QqI" if content[:1] == b"\1" else ">IiI")
    if not movie_scale or not media_scale or len(content) < 8:
        return []
    table = content[8 : 8 + int.from_bytes(content[4:8], "big") * entry.size]
    whole = table[: len(table) // entry.size * entry.size]
    return [_Edit(lasts / movie_scale, begins / media_scale) for lasts, begins, _ in entry.iter_unpack(whole)]
