"""Decoders that land elsewhere, or give what is not whole: no frame is taken at their word.

What they do here is what real ones did: pictures before the key frame of an open group, which refer to others
that were not decoded (ITU-T H.264 and H.265 say that they can't be); a table of contents that leads past the
key frame asked for; recovery points, marked as keys, from which decoding heals bit by bit (H.264, D.2.8).
"""

from dataclasses import replace

import av
import numpy as np
import pytest
from av.video.frame import PictureType

from analysis.film import FrameReader, open_film
from analysis.film import reader as reading
from analysis.film.reader import BUDGET_BYTES
from analysis.film.whole_frames import WholeFrames
from analysis.values.film import IndexEntry

KEYS = (0, 10, 20, 30)
BROKEN = 200


class Doubtful:
    """Decodes a film of which frame n is of brightness n, and BROKEN where what it refers to is missing.

    ``lands``: the first picture that comes after a seek to a key frame, its number. ``kinds``: of the keys.
    """

    held_bytes = 0
    whole = WholeFrames()

    def __init__(self, index, lands, kinds=PictureType.I):
        self._index, self._lands, self._kinds = index, lands, kinds
        self._whole_from = self._at = 0

    def seek(self, pts):
        key = next(number for number, entry in enumerate(self._index) if entry.pts == pts)
        self._at, self._whole_from = self._lands(key)

    def begin(self):
        self._at = self._whole_from = 0

    def next(self):
        if self._at >= len(self._index):
            return None
        frame = av.VideoFrame.from_ndarray(
            np.full((64, 96), BROKEN if self._at < self._whole_from else self._at, np.uint8), format="gray"
        )
        frame.pts = self._index[self._at].pts
        frame.pict_type = (
            PictureType.I if self._at == 0 else self._kinds if self._at in KEYS else PictureType.P
        )
        self._at += 1
        return frame

    def close(self):
        pass


@pytest.fixture
def film(film_of_kind):
    film = open_film(film_of_kind("h264 with B-frames"))
    index = tuple(IndexEntry(entry.pts, key=number in KEYS) for number, entry in enumerate(film.index[:40]))
    return replace(film, index=index)


def brightness(reader, numbers):
    return [int(reader.decoded(number).to_ndarray()[0, 0]) for number in numbers]


BACK_AND_FORTH = [25, 19, 18, 9, 31, 29, 20, 10, 11, 8, 30, 0, 39]


WAYS = {
    "leading": lambda key: (key - 3, key),  # pictures of the group before come, and are broken
    "past": lambda key: (key + 10, key + 10),
    "past and leading": lambda key: (key + 7, key + 10),
    "before": lambda key: (key - 4, key - 4),  # what comes first is no key frame, and whole
    "without the key": lambda key: (key + 1, key + 1),
    "nowhere": lambda key: (40, 40),
}


@pytest.fixture(params=WAYS)
def way(request):
    return WAYS[request.param]


@pytest.fixture(params=[(10,), (20,), (10, 20, 30)], ids=str)
def lands(request, way):
    """Where seeking leads that goes wrong at some keys."""
    return lambda key: way(key) if key in request.param else (key, key)


class TestWhereverSeekingLands:
    @pytest.mark.parametrize("budget", [1, BUDGET_BYTES], ids=["one frame kept", "all kept"])
    def test_no_frame_is_another(self, monkeypatch, film, lands, budget):
        monkeypatch.setattr(reading, "Decoder", lambda *_: Doubtful(film.index, lands))
        with FrameReader(film, budget) as reader:
            assert brightness(reader, BACK_AND_FORTH) == BACK_AND_FORTH

    @pytest.mark.parametrize("ahead", [-20, 14])
    def test_nor_is_one_that_is_made_ready(self, monkeypatch, film, lands, ahead):
        monkeypatch.setattr(reading, "Decoder", lambda *_: Doubtful(film.index, lands))
        with FrameReader(film) as reader:
            reader.decoded(25)
            while reader.prepare(25, ahead):
                pass
            made = range(5, 26) if ahead < 0 else range(25, 40)
            assert all(reader.kept(number) for number in made)
            assert brightness(reader, made) == list(made)


@pytest.mark.parametrize("kind", [PictureType.P, PictureType.B])
def test_a_key_that_refers_to_others_is_no_place_to_begin(monkeypatch, film, kind):
    """What follows such a key is whole only bit by bit: here not before the next."""

    def lands(key):
        return key, min(key + 10, 39) if key else 0

    monkeypatch.setattr(reading, "Decoder", lambda *_: Doubtful(film.index, lands, kind))
    with FrameReader(film, 1) as reader:
        assert brightness(reader, BACK_AND_FORTH) == BACK_AND_FORTH
