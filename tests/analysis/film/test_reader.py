"""How the reader behaves as a citizen: threads, memory, files."""

import threading

import pytest

from analysis.film import FrameReader, open_film
from analysis.film.reader import ReadingStopped
from analysis.values.errors import FrameError


@pytest.fixture
def film(film_of_kind):
    return open_film(film_of_kind("h264 with B-frames"))


def in_another_thread(act):
    caught = []

    def run():
        try:
            act()
        except RuntimeError as error:
            caught.append(str(error))

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    return caught


def test_it_belongs_to_the_thread_that_made_it(film):
    with FrameReader(film) as reader:
        for act in (lambda: reader.picture(0), lambda: reader.small(0, 10), reader.close):
            assert "thread" in in_another_thread(act)[0]
        assert "thread" in in_another_thread(lambda: reader.prepare(0, 1))[0]
        reader.picture(0)


@pytest.mark.parametrize("number", [-1, 60, 10**9])
def test_frames_outside_the_film(film, number):
    with FrameReader(film) as reader, pytest.raises(FrameError, match="0 to 59"):
        reader.picture(number)


def test_memory_stays_within_the_budget(film):
    budget = 100_000  # about ten frames
    with FrameReader(film, budget) as reader:
        for number in [*range(60), *range(59, -1, -1), 30, 5, 55]:
            reader.picture(number)
            assert 0 < reader.cached_bytes <= budget
            while reader.prepare(number, 30):
                assert reader.cached_bytes <= budget
            while reader.prepare(number, -30):
                assert reader.cached_bytes <= budget


def test_a_step_back_is_ready_after_decoding_once(film):
    with FrameReader(film) as reader:
        reader.picture(34)
        assert all(reader.kept(number) for number in range(24, 35))


@pytest.mark.parametrize("ahead", [20, -20])
def test_made_ready_in_the_direction_of_travel(film, ahead):
    with FrameReader(film) as reader:
        reader.picture(30)
        assert reader.ready_stretch(30, ahead) < 20
        steps = 0
        while reader.prepare(30, ahead):
            steps += 1
        assert steps < 60
        assert reader.ready_stretch(30, ahead) == 20
        assert reader.kept(30 + ahead)


def test_nothing_is_made_ready_outside_the_film(film):
    with FrameReader(film) as reader:
        reader.picture(58)
        while reader.prepare(58, 50):
            pass
        assert reader.kept(59)
        assert reader.ready_stretch(59, 50) == 50


def test_given_up_when_told_to(film):
    stop = False
    with FrameReader(film, stopped=lambda: stop) as reader:
        reader.picture(3)
        stop = True
        with pytest.raises(ReadingStopped):
            reader.picture(50)
        stop = False
        reader.picture(50)


def test_closed_twice_and_opened_often(film):
    for _ in range(30):
        with FrameReader(film) as reader:
            reader.picture(1)
            reader.close()
