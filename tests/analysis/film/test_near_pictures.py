"""Pictures of the frames next to the one on show are made before a step asks for them."""

import numpy as np
import pytest

from analysis.film import FrameReader, open_film, picture
from analysis.film.quick_reader import Grade, QuickReader


def all_made(reader, number):
    reader.travel_to(number)
    while reader.make_near(number):
        pass


@pytest.fixture
def film(film_of_kind):
    return open_film(film_of_kind("h264 with B-frames"))


@pytest.fixture
def reader(film):
    reader = QuickReader(film)
    yield reader
    reader.close()


def test_they_are_those_of_a_plain_decode_and_made_once(film, reader):
    with FrameReader(film) as plain:
        pictures = [plain.picture(number) for number in range(film.frames)]
    for number in (20, 21, 22, 21, 0, film.frames - 1):
        for near in {max(0, number - 1), number, min(film.frames - 1, number + 1)}:
            reader.picture(near)
        all_made(reader, number)
        for near in range(max(0, number - 1), min(film.frames, number + 2)):
            hand = reader.at_hand(near)
            assert hand.grade is Grade.FULL
            assert np.array_equal(hand.picture, pictures[near])
            assert reader.at_hand(near).picture is hand.picture


def test_a_picture_that_was_asked_for_is_not_made_again(reader):
    shown = reader.picture(20)
    assert reader.picture(20) is shown
    assert reader.at_hand(20).picture is shown
    reader.picture(40)
    assert reader.picture(20) is not shown


def test_what_is_not_decoded_is_not_made(reader):
    reader.travel_to(30)
    assert not reader.make_near(30)
    assert reader.at_hand(30) is None


def test_away_from_them_they_are_let_go_and_they_count_in_what_is_kept(reader):
    for number in (19, 20, 21):
        reader.picture(number)
    before = reader.kept_bytes
    all_made(reader, 20)
    one = reader.at_hand(20).picture.nbytes
    assert reader.kept_bytes == before + one  # those of 20 and 21 were kept when they were read
    reader.travel_to(22)
    assert reader.kept_bytes == before - one


def test_one_as_sharp_as_the_screen_gives_way_to_the_full_one(film_of_kind, monkeypatch):
    monkeypatch.setattr(picture, "SCREEN_PIXELS", 48 * 32)  # the film's pictures, 96 x 64, are larger
    film = open_film(film_of_kind("h264 with B-frames"))
    reader = QuickReader(film, 400 * 96 * 64 * 3 // 2)
    reader.picture(0)
    while reader.prepare(0, film.frames - 1):
        pass
    last = film.frames - 1
    all_made(reader, last)
    assert reader.at_hand(last).grade is Grade.SCREEN
    whole = reader.picture(last)
    hand = reader.at_hand(last)
    assert hand.grade is Grade.FULL
    assert np.array_equal(hand.picture, whole)
    reader.close()
