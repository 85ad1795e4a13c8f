"""Followed points as bytes: for a file between two processes, and for the project."""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path
from typing import IO
from zipfile import BadZipFile

import numpy as np

from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Tracks

_ARRAYS = ("places", "u_px", "standing", "memory")


def write_tracks(tracks: Tracks, file: Path | IO[bytes]) -> None:
    """Write tracks as packed arrays."""
    placed = [[int(p.frame), p.name, p.u, p.v, p.error_px] for p in tracks.placed]
    words = json.dumps([tracks.key, int(tracks.first), tracks.names, placed])
    arrays = {name: getattr(tracks, name) for name in _ARRAYS}
    np.savez_compressed(file, words=np.array(words), **arrays)


def read_tracks(file: Path | IO[bytes]) -> Tracks:
    """Read what ``write_tracks`` wrote. Raises OSError where the file is not there, ValueError where it holds
    no tracks.
    """
    try:
        with np.load(file, allow_pickle=False) as stored:
            key, first, names, of_points = json.loads(str(stored["words"]))
            placed = tuple(BodyPoint(FrameNumber(f), n, u, v, e) for f, n, u, v, e in of_points)
            arrays = [stored[name] for name in _ARRAYS]
    except (KeyError, EOFError, TypeError, BadZipFile) as error:
        raise ValueError(str(error)) from error
    places, u_px, standing, memory = arrays
    shape = (len(places), len(names))
    if (
        places.shape != (*shape, 2)
        or u_px.shape != shape
        or standing.shape != shape
        or len(memory) != shape[1]
    ):
        raise ValueError("tracks of unequal lengths")
    return Tracks(key, FrameNumber(first), tuple(names), places, u_px, standing, memory, placed)


def packed(tracks: Tracks) -> bytes:
    """Tracks as bytes."""
    out = BytesIO()
    write_tracks(tracks, out)
    return out.getvalue()


def unpacked(content: bytes) -> Tracks:
    """Tracks out of bytes. Raises ValueError where they hold none."""
    return read_tracks(BytesIO(content))


def readable(content: bytes | None) -> Tracks | None:
    """Tracks out of bytes, None where there are none or they can't be read: then they are made again."""
    try:
        return None if content is None else unpacked(content)
    except (ValueError, OSError):
        return None
