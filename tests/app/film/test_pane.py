"""The pane says which frame is on show when its picture is there, and not before."""

import threading

import pytest

from app.film.pane import FilmPane
from tests.app.film.test_reader_thread import FILM, FakeReader


@pytest.fixture
def fake():
    return FakeReader()


@pytest.fixture
def pane(qtbot, fake):
    def make_reader(film, stopped, *_):
        fake.stopped = stopped
        return fake

    pane = FilmPane(make_reader=make_reader)
    qtbot.addWidget(pane)
    pane.told = []
    pane.frame_shown.connect(pane.told.append)
    pane.set_film(FILM)
    yield pane
    pane.shutdown()


def test_a_frame_is_said_to_be_shown_only_with_its_picture(pane, fake, qtbot):
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.told[-1:] == [3])
    pane.told[:] = [3]  # the film's first frame may have been shown before it
    fake.gate.clear()
    pane.go_to(5)
    assert (pane.wanted, pane.shown) == (5, 3)
    pane.go_to(9)
    assert (pane.wanted, pane.shown) == (9, 3)
    assert pane.told == [3]
    fake.gate.set()
    qtbot.waitUntil(lambda: pane.shown == 9)
    # what was said is what was shown: the picture of frame 5 may have come between, never 9 before its own
    assert pane.told in ([3, 9], [3, 5, 9])


def test_the_picture_shown_is_that_of_the_frame_said(pane, qtbot):
    pictures = []
    pane.frame_shown.connect(lambda frame: pictures.append((frame, pane.view._image.pixelColor(0, 0).blue())))
    for frame in (3, 40, 12):
        pane.go_to(frame)
        qtbot.waitUntil(lambda frame=frame: pane.shown == frame)
    assert all(frame == blue for frame, blue in pictures)
    assert [frame for frame, _ in pictures][-1] == 12


def test_the_small_pictures_are_those_of_the_stretch_named(pane, fake, qtbot):
    pane.cover(40, 44)
    qtbot.waitUntil(lambda: fake.smalls[-5:] == [40, 41, 42, 43, 44])
    pane.cover(40, 44)
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.shown == 3)
    assert fake.to_make == []  # naming it again makes nothing anew


def test_when_playing_ends_the_full_picture_comes(pane, fake, qtbot):
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.shown == 3)
    fake.screens |= set(range(100))
    pane.ticker.play(1)
    qtbot.waitUntil(lambda: pane.shown > 3)
    assert pane.view._image.width() == 4
    pane.ticker.pause()
    qtbot.waitUntil(lambda: pane.view._image.width() == 8)
    assert pane.view._image.pixelColor(0, 0).blue() == pane.shown == pane.wanted


def test_pictures_that_come_late_are_counted_anew_with_every_play(pane, fake, qtbot):
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.shown == 3)
    fake.gate.clear()  # no picture comes from here on
    pane.ticker.play(1)
    qtbot.waitUntil(lambda: pane.late > 1)
    pane.ticker.pause()
    fake.gate.set()
    qtbot.waitUntil(lambda: pane.shown == pane.wanted)
    pane.ticker.play(1)
    assert pane.late == 0
    pane.ticker.pause()


def test_a_film_that_was_expected_is_read_once_and_shown(qtbot):
    fakes = []

    def make_reader(film, stopped, *_):
        fakes.append(FakeReader())
        fakes[-1].stopped = stopped
        return fakes[-1]

    pane = FilmPane(make_reader=make_reader)
    qtbot.addWidget(pane)
    pane.expect(FILM)
    qtbot.waitUntil(lambda: fakes != [] and 0 in fakes[0].asked)  # while nothing is on show yet
    pane.set_film(None)  # another project is opened in between
    assert (pane.film, pane.shown) == (None, -1)
    pane.set_film(FILM)
    pane.go_to(0)
    qtbot.waitUntil(lambda: pane.shown == 0)
    assert len(fakes) == 1
    pane.shutdown()
    assert fakes[0].closed


def test_what_was_expected_in_vain_is_let_go(qtbot, pane, fake):
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.shown == 3)
    pane.expect(FILM)
    pane.expect(None)
    assert threads_of_readers() == 1
    pane.go_to(9)
    qtbot.waitUntil(lambda: pane.shown == 9)
    pane.expect(FILM)
    pane.shutdown()
    assert threads_of_readers() == 0


def threads_of_readers():
    return sum(thread.name == "film reader" for thread in threading.enumerate())


def test_a_lost_frame_leaves_no_other_frames_picture_in_its_place(pane, fake, qtbot):
    pane.go_to(3)
    qtbot.waitUntil(lambda: pane.shown == 3)
    fake.broken = {5}
    pane.go_to(5)
    qtbot.waitUntil(lambda: pane.shown == -1)
    assert not pane.view.has_picture
    pane.step(1)
    qtbot.waitUntil(lambda: pane.shown == 6)
    assert pane.view.has_picture


def test_playing_goes_on_over_lost_frames_and_says_so_once(pane, fake, qtbot):
    said = []
    pane.said.connect(said.append)
    pane.go_to(30)
    qtbot.waitUntil(lambda: pane.shown == 30)
    fake.broken = set(range(32, 36))
    pane.ticker.play(1)
    qtbot.waitUntil(lambda: pane.shown > 40)
    assert pane.ticker.clock.playing
    assert len(said) == 1
