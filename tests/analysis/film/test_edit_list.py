"""Edit lists of several parts, written byte by byte (ISO/IEC 14496-12, 8.6.6): what `ffprobe` shows is shown,
and a cut is said.
"""

import struct

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from tests.analysis.film.making import GOP, Kind, make, straight
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import ask

PLAIN = 1 << 16
EMPTY = -1.0


def place_of(data, kinds):
    """Where a box within boxes begins, and how long it is."""
    begin, end = 0, len(data)
    for kind in kinds:
        while data[begin + 4 : begin + 8] != kind:
            begin += int.from_bytes(data[begin : begin + 4], "big")
            assert begin < end
        at, begin = begin, begin + 8
    return at, int.from_bytes(data[at : at + 4], "big")


def edited(source, target, parts):
    """A copy of a film that shows these parts of it, each from so many s to so many; from EMPTY: nothing."""
    data = bytearray(source.read_bytes())
    at, length = place_of(data, [b"moov", b"trak", b"edts"])
    delay = struct.unpack(">i", data[at + 28 : at + 32])[0]  # coders begin with the second or third picture
    media, _ = place_of(data, [b"moov", b"trak", b"mdia", b"mdhd"])
    unit = struct.unpack(">I", data[media + 20 : media + 24])[0]
    rows = b""
    for begin, end in parts:
        shown = begin != EMPTY
        lasts = round((end - begin if shown else end) * 1000)
        rows += struct.pack(">IiI", lasts, delay + round(begin * unit) if shown else -1, PLAIN)
    table = struct.pack(">I4sII", 16 + len(rows), b"elst", 0, len(parts)) + rows
    new = struct.pack(">I4s", 8 + len(table), b"edts") + table
    data[at : at + length] = new
    for kinds in ([b"moov"], [b"moov", b"trak"]):
        box, size = place_of(data, kinds)
        data[box : box + 4] = struct.pack(">I", size + len(new) - length)
    target.write_bytes(data)
    return target


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ([(0.0, 0.5), (1.2, 1.8)], "before frame 15:"),
        ([(1.2, 1.8), (0.0, 0.5)], "before frame 18:"),
        ([(0.2, 0.8), (0.2, 0.8)], "before frame 18:"),
        ([(0.0, 0.5), (0.5, 2.0)], ""),
        ([(0.2, 1.4)], ""),
        ([(EMPTY, 0.7), (0.3, 1.5)], ""),
    ],
)
def test_parts_are_shown_in_turn_and_a_cut_is_said(tmp_path, parts, said):
    whole = make(tmp_path / "whole.mp4", Kind(options=GOP))
    path = edited(whole, tmp_path / "edited.mp4", parts)
    film, (times, pictures) = open_film(path), straight(path)
    assert [entry.pts for entry in film.index] == times == [pts for pts, _ in ask(need("ffprobe"), path)[1]]
    with FrameReader(film, 60_000) as reader:
        order = [*range(film.frames - 1, -1, -1), *range(film.frames)]
        assert [n for n in order if not np.array_equal(reader.picture(n), pictures[n])] == []
    notes = [note for note in film.notes if "was cut" in note]
    assert [said in note for note in notes] == ([True] if said else [])
