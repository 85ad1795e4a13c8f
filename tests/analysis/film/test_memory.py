"""What a reader held is given back when it is closed, without waiting for the cycle collector."""

import gc
import random
import weakref

import numpy as np
import pytest

from analysis.film import open_film, picture
from analysis.film.quick_reader import Grade, QuickReader
from analysis.film.reader import FrameReader


@pytest.mark.parametrize("made", [FrameReader, QuickReader])
def test_a_closed_reader_is_gone_at_once(film_of_kind, made):
    film = open_film(film_of_kind("h264 with B-frames"))
    gc.collect()
    gc.disable()
    try:
        reader = made(film)
        if isinstance(reader, QuickReader):
            reader.cover(0, film.frames - 1)
            reader.make_small()
        reader.picture(film.frames - 1)
        gone = weakref.ref(reader)
        reader.close()
        del reader
        assert gone() is None
    finally:
        gc.enable()


@pytest.fixture
def large(film_of_kind, monkeypatch):
    """A film whose pictures, 96 x 64, are four times as large as the screen is said to be."""
    monkeypatch.setattr(picture, "SCREEN_PIXELS", 48 * 32)
    return open_film(film_of_kind("h264 with B-frames"))


def test_a_large_film_is_kept_at_screen_size_and_shown_in_full_where_it_is_asked_for(large):
    with FrameReader(large) as plain:
        pictures = [plain.picture(number) for number in range(large.frames)]
    one = 96 * 64 * 3 // 2
    reader = QuickReader(large, 400 * one)
    reader.picture(0)
    while reader.prepare(0, large.frames - 1):
        pass
    near, away = reader.at_hand(0), reader.at_hand(large.frames - 1)
    assert near.grade is Grade.FULL
    assert np.array_equal(near.picture, pictures[0])
    assert away.grade is Grade.SCREEN
    assert away.picture.shape == (32, 48, 4)
    smaller = pictures[-1].reshape(32, 2, 48, 2, 4).mean((1, 3))
    assert np.abs(away.picture - smaller).mean() < 8
    chance = random.Random(1)
    for number in [chance.randrange(large.frames) for _ in range(60)]:
        assert np.array_equal(reader.picture(number), pictures[number])
    reader.close()


@pytest.mark.parametrize("share", [1.0, 0.5])
def test_what_decoders_hold_counts_in_the_budget(large, share):
    budget = round(200 * 96 * 64 * 3 // 2 * share)
    reader = QuickReader(large, budget)
    for number in [*range(large.frames), 3, 40, 5]:
        reader.picture(number)
        assert reader.kept_bytes + 2 * reader.decoder_bytes <= budget
    reader.close()
