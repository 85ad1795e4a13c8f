"""A film that is damaged in its middle: what a decoder patches is not shown, by whichever way it is reached.

Which pictures may refer to which: B to one that is shown later, others to what was decoded before, key frames
to nothing (the kinds of slices of ITU-T H.264 and H.265).
"""

from __future__ import annotations

import random
from types import SimpleNamespace

import numpy as np
import pytest
from av.video.frame import PictureType

from analysis.film import FrameReader, open_film
from analysis.film.whole_frames import WholeFrames
from analysis.values.errors import FilmError


def given(kinds, damaged=(), lost=()):
    """Numbers of the frames that come through, of pictures in presentation order: K, P or B each."""
    whole, through = WholeFrames(), []
    for number, kind in enumerate(kinds):
        if number in lost:
            whole.lose()
            continue
        frame = SimpleNamespace(
            pts=number,
            key_frame=kind == "K",
            is_corrupt=number in damaged,
            pict_type=PictureType.B if kind == "B" else PictureType.P if kind == "P" else PictureType.I,
        )
        through += whole.take(frame)
    through += whole.rest()
    return [frame.pts for frame in through], whole.hurt


@pytest.mark.parametrize(
    ("kinds", "damaged", "hurt"),
    [
        ("KBBPBBPKBBP", (), ()),
        ("KPPPKPP", (2,), (2, 3)),  # until the next key frame
        ("KBBPBBPKBBP", (3,), (1, 2, 3, 4, 5, 6)),  # with those that are shown before it and refer to it
        ("KBBPBBPKBBP", (4,), (4, 5, 6)),
        ("KBBPBBKBBP", (3,), (1, 2, 3, 4, 5)),  # an open group: its leading pictures refer back
        ("KBBPBBKBBP", (6,), (4, 5, 6, 7, 8, 9)),
        ("KKKK", (2,), (2,)),
        ("PBPKPP", (1, 2), ()),  # before the first key frame nothing is judged
        ("KBBPBB", (5,), (4, 5)),  # at the end of the film
    ],
)
def test_what_refers_to_a_damaged_picture_is_not_whole_either(kinds, damaged, hurt):
    through, known = given(kinds, damaged)
    assert known == set(hurt)
    assert through == [number for number in range(len(kinds)) if number not in hurt]


def test_what_follows_a_picture_that_did_not_come_is_not_whole():
    through, known = given("KPPPKPP", lost=(2,))
    assert through == [0, 1, 4, 5, 6]
    assert known == {3}


def pictures(path, order, threads=0):
    film = open_film(path)
    found = {}
    with FrameReader(film, 60_000, threads) as reader:
        for number in order(film.frames):
            try:
                found[number] = reader.picture(number)
            except FilmError:
                found[number] = None
    return found


@pytest.mark.parametrize("name", ["h264 with B-frames", "h264 open groups", "mkv", "mpeg-ts", "avi"])
@pytest.mark.parametrize("seed", [1, 3])
def test_a_damaged_film_is_the_same_forwards_and_backwards(tmp_path, film_of_kind, name, seed):
    chance = random.Random(seed)
    whole = film_of_kind(name)
    data = bytearray(whole.read_bytes())
    middle = len(data) // 3 + chance.randrange(len(data) // 3)
    data[middle : middle + 40] = chance.randbytes(40)
    path = tmp_path / f"hurt{whole.suffix}"
    path.write_bytes(data)
    forwards = pictures(path, range)
    backwards = pictures(path, lambda frames: range(frames - 1, -1, -1))
    alone = pictures(path, range, threads=1)
    for number, picture in forwards.items():
        for other in (backwards[number], alone[number]):
            assert (picture is None) == (other is None)
            assert picture is None or np.array_equal(picture, other)
