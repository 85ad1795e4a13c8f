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
from analysis.film.decoding import Decoder
from analysis.film.whole_frames import WholeFrames
from analysis.values.errors import FilmError
from tests.analysis.film.making import KINDS


def fake(number, kind, damaged=False):
    """What a decoder gives: the picture shown as ``number``, of kind K, P or B."""
    return SimpleNamespace(
        pts=number,
        key_frame=kind[0] == "K",
        is_corrupt=damaged,
        pict_type={"B": PictureType.B, "P": PictureType.P, "K": PictureType.I}[kind[0]],
    )


def given(kinds, damaged=(), lost=()):
    """Numbers of the frames that come through, of pictures in presentation order: K, P or B each."""
    whole, through = WholeFrames(), []
    for number, kind in enumerate(kinds):
        if number in lost:
            whole.lose(number)
            continue
        through += whole.take(fake(number, kind, damaged=number in damaged))
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


@pytest.mark.parametrize(
    ("decoded", "lost", "hurt"),
    [
        # a decoder gives a picture away later than it decoded it: packets in the order of decoding, with the
        # number of pictures that have come out when each was read
        ([("K0", 0), ("P3", 0), ("B1", 1), ("B2", 2), ("P6", 3), ("B4", 4), ("B5", 5)], "P6", (4, 5, 6)),
        ([("K0", 0), ("P3", 0), ("B1", 1), ("B2", 2), ("K4", 3), ("P5", 4)], "K4", (5,)),
        ([("K0", 0), ("P2", 0), ("B1", 1), ("K3", 1), ("P5", 2), ("B4", 3)], "P5", (4,)),
    ],
)
def test_what_was_decoded_before_the_loss_is_whole(decoded, lost, hurt):
    whole, through = WholeFrames(), []
    shown = sorted((int(name[1:]), name) for name, _ in decoded if name != lost)
    out = 0
    for name, come in decoded:
        while out < min(come, len(shown)):
            through += whole.take(fake(*shown[out]))
            out += 1
        whole.feed(int(name[1:]))
        if name == lost:
            whole.lose(int(name[1:]))
    for one in shown[out:]:
        through += whole.take(fake(*one))
    through += whole.rest()
    assert [frame.pts for frame in through] == [number for number, _ in shown if number not in hurt]


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


@pytest.mark.parametrize("name", sorted(KINDS))
def test_no_damage_is_met_in_a_film_that_is_whole(monkeypatch, film_of_kind, name):
    def never(decoder):
        raise AssertionError("one thread is slow, and not needed here")

    monkeypatch.setattr(Decoder, "go_alone", never)
    found = pictures(film_of_kind(name), lambda frames: range(frames - 1, -1, -1))
    assert all(picture is not None for picture in found.values())


@pytest.mark.parametrize("name", ["h264 with B-frames", "h264 open groups", "mkv", "hevc open groups"])
def test_several_threads_give_the_same_of_a_damaged_film_each_time(tmp_path, film_of_kind, name):
    whole = film_of_kind(name)
    middle = whole.stat().st_size // 2
    data = bytearray(whole.read_bytes())
    data[middle : middle + 400] = random.Random(7).randbytes(400)
    path = tmp_path / f"hurt{whole.suffix}"
    path.write_bytes(data)
    alone = pictures(path, range, threads=1)
    assert any(picture is None for picture in alone.values())
    for _ in range(5):
        for number, picture in pictures(path, range, threads=2).items():
            other = alone[number]
            assert (picture is None) == (other is None)
            assert picture is None or np.array_equal(picture, other)
