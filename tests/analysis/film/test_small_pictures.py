"""A small picture at once, of the very frame, within the memory set."""

import contextlib
import random

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.quick_reader import Grade, QuickReader
from analysis.film.reader import ReadingStopped
from tests.analysis.film.making import GOP, Kind, make, matrix


@pytest.fixture
def film(film_of_kind):
    return open_film(film_of_kind("h264 with B-frames"))


def made(reader, first, last):
    reader.cover(first, last)
    while reader.make_small():
        pass


def quick(reader, number):
    """The small picture of a frame, where it is made."""
    hand = reader.at_hand(number)
    return hand.picture if hand is not None and hand.grade is Grade.SMALL else None


def far(a, b):
    return np.abs(a.astype(int) - b).mean()


@pytest.mark.parametrize(
    "name", ["h264 with B-frames", "h264 10 bit", "hevc open groups", "pixels not square"]
)
def test_each_is_of_its_own_frame(film_of_kind, name):
    film = open_film(film_of_kind(name))
    with FrameReader(film) as full:
        pictures = [full.picture(number) for number in range(film.frames)]
    reader = QuickReader(film)
    made(reader, 0, film.frames - 1)
    for number in range(film.frames):
        small = quick(reader, number)
        assert small.shape == pictures[number].shape  # so small a film is kept as it is
        others = [n for n in range(film.frames) if n != number]
        assert far(small, pictures[number]) < 4
        assert far(small, pictures[number]) < min(far(small, pictures[n]) for n in others)
    reader.close()


def test_turned_as_the_full_one(tmp_path):
    film = open_film(make(tmp_path / "t.mp4", Kind(options=GOP, frames=5, matrix=matrix(0, 1, 1, 0))))
    reader = QuickReader(film)
    made(reader, 0, 4)
    assert far(quick(reader, 3), reader.picture(3)) < 4
    reader.close()


def test_as_large_as_the_stretch_leaves_room_for(tmp_path):
    film = open_film(make(tmp_path / "t.mp4", Kind(options=GOP, frames=40, size=(640, 360), rate=240)))
    one = 480 * 270 * 1.5
    reader = QuickReader(film, round(10.5 * one / 0.4))
    made(reader, 5, 14)
    assert quick(reader, 5).shape == (270, 480, 4)
    assert quick(reader, 4) is None
    assert quick(reader, 15) is None
    made(reader, 0, 39)
    assert quick(reader, 39).shape == (135, 240, 4)
    assert quick(reader, 5).shape == (135, 240, 4)
    reader.close()
    assert reader.kept_bytes == 0


def test_of_fifteen_seconds_at_most(tmp_path):
    path = make(tmp_path / "t.mp4", Kind(options=GOP, frames=40, rate=2))
    reader = QuickReader(open_film(path))
    made(reader, 4, 39)
    assert quick(reader, 34) is not None
    assert quick(reader, 35) is None
    reader.close()


def test_memory_stays_within_the_budget(film):
    budget = 200_000
    reader = QuickReader(film, budget)
    reader.cover(0, 59)
    chance = random.Random(3)
    while reader.make_small():
        reader.picture(chance.randrange(60))
        assert reader.kept_bytes <= budget
    assert quick(reader, 0) is not None
    for _ in range(100):
        reader.picture(chance.randrange(60))
        assert reader.kept_bytes <= budget
    reader.limit(60_000)
    assert reader.kept_bytes <= 60_000
    made(reader, 0, 59)
    assert reader.kept_bytes <= 60_000
    reader.close()


def test_decoding_that_was_given_up_anywhere_leaves_no_wrong_frame(film_of_kind):
    """Given up after n steps, for every n, on films where a key frame is not always where it seems to be."""
    for name in ("h264 open groups", "mpeg-ts open groups", "h264 intra refresh"):
        film = open_film(film_of_kind(name))
        with FrameReader(film) as plain:
            pictures = [plain.picture(number) for number in range(film.frames)]
        left = [10**9]

        def stopped(left=left):
            left[0] -= 1
            return left[0] < 0

        chance = random.Random(9)
        with FrameReader(film, 30_000, stopped=stopped) as reader:
            for patience in [*range(20), *range(20)]:
                left[0] = patience
                with contextlib.suppress(ReadingStopped):
                    reader.picture(chance.randrange(film.frames))
                left[0] = 10**9
                number = chance.randrange(film.frames)
                assert np.array_equal(reader.picture(number), pictures[number])
