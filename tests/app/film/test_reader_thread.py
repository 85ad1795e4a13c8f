"""One thread, one slot, the newest request wins, a failure ends the wait."""

import threading
from fractions import Fraction

import numpy as np
import pytest
from PySide6.QtGui import QImage

from analysis.film import open_film
from analysis.film.quick_reader import AtHand, Grade, QuickReader
from analysis.film.reader import ReadingStopped
from analysis.values.errors import FilmError
from analysis.values.film import Film, IndexEntry, RateSource, RateWitness
from app.film.reader_thread import FrameReady, FrameRequest, ReaderThread, image_of
from tests.analysis.film.making import GOP, Kind, make, straight

FILM = Film(
    path="nowhere.mp4",
    index=tuple(IndexEntry(n, n == 0) for n in range(100)),
    time_base=Fraction(1, 30),
    stream=0,
    stored_width=8,
    stored_height=4,
    rotation_deg=0,
    mirrored=False,
    pixel_aspect=Fraction(1),
    container_rate_hz=30.0,
    capture_rate_hz=30.0,
    rate_source=RateSource.TIMES,
    rate_said_by=RateWitness.NOBODY,
    fingerprint="",
)


class FakeReader:
    """Gives pictures whose blue is the number of the frame; the test holds it back with ``gate``."""

    def __init__(self):
        self.gate = threading.Event()
        self.gate.set()
        self.asked: list[int] = []
        self.prepared: list[tuple[int, int]] = []
        self.work_left = 0
        self.begun = threading.Event()
        self.closed = False
        self.thread: threading.Thread | None = None
        self.broken: set[int] = set()
        self.ready: set[int] = set()
        self.screens: set[int] = set()
        self.smalls: list[int] = []
        self.near_left: list[int] = []
        self.near: list[int] = []
        self.to_make: list[int] = []
        self.stopped = lambda: False

    def picture(self, number):
        self.thread = threading.current_thread()
        self.asked.append(number)
        self.begun.set()
        while not self.gate.wait(0.01):
            if self.stopped():
                raise ReadingStopped
        if number in self.broken:
            raise FilmError(f"The film is damaged at frame {number}.")
        if number == 13:
            raise ZeroDivisionError
        return np.full((4, 8, 4), number, np.uint8)

    def at_hand(self, number, *, light=False):
        if number in self.ready and not (light and number in self.smalls):
            return AtHand(np.full((4, 8, 4), number, np.uint8), Grade.FULL)
        if number in self.screens:
            return AtHand(np.full((2, 4, 4), number, np.uint8), Grade.SCREEN)
        if number in self.smalls:
            return AtHand(np.full((2, 4, 4), number, np.uint8), Grade.SMALL)
        return None

    def travel_to(self, number):
        self.centre = number

    def cover(self, first, last):
        self.to_make = list(range(first, last + 1))

    def limit(self, budget_bytes):
        self.budget = budget_bytes

    def make_small(self):
        self.smalls.append(self.to_make.pop(0))
        return bool(self.to_make)

    def make_near(self, number):
        if self.near_left:
            self.near_left.pop()
            self.near.append(number)
            return True
        return False

    def ready_stretch(self, number, ahead):
        return 0

    def prepare(self, number, ahead):
        self.prepared.append((number, ahead))
        self.work_left -= 1
        return self.work_left > 0

    def close(self):
        self.closed = True


@pytest.fixture
def fake():
    return FakeReader()


@pytest.fixture
def thread(qapp, fake):
    def make_reader(film, stopped):
        fake.stopped = stopped
        return fake

    thread = ReaderThread(FILM, make_reader=make_reader)
    thread.got, thread.failures, thread.busy_said = [], [], []
    thread.ready.connect(thread.got.append)
    thread.failed.connect(thread.failures.append)
    thread.busy_changed.connect(thread.busy_said.append)
    yield thread
    thread.shutdown()


def test_a_picture_comes_as_a_value_on_the_windows_thread(thread, fake, qtbot):
    here = []
    thread.ready.connect(lambda _: here.append(threading.current_thread()))
    thread.request(7)
    assert thread.busy
    qtbot.waitUntil(lambda: not thread.busy)
    (ready,) = thread.got
    assert ready.request == FrameRequest(7)
    assert ready.number == 7
    assert (ready.image.width(), ready.image.height()) == (8, 4)
    assert ready.image.pixelColor(0, 0).blue() == 7
    assert here == [threading.main_thread()]
    assert fake.thread is not threading.main_thread()
    assert thread.busy_said == [True, False]


def test_a_newer_request_replaces_the_one_that_waits(thread, fake, qtbot):
    fake.gate.clear()
    thread.request(1)
    assert fake.begun.wait(2)
    for number in range(2, 50):
        thread.request(number)
    fake.gate.set()
    qtbot.waitUntil(lambda: not thread.busy)
    assert fake.asked == [1, 49]
    assert [ready.number for ready in thread.got][-1] == 49
    assert thread.busy_said == [True, False]


def test_answers_do_not_pile_up_while_the_window_is_away(thread, fake, qtbot):
    for number in range(1, 6):
        fake.begun.clear()
        thread.request(number)
        assert fake.begun.wait(2)
    qtbot.waitUntil(lambda: not thread.busy)
    assert thread.got[-1].number == 5
    assert len(thread.got) <= 2


def test_a_failure_is_said_and_ends_the_wait(thread, fake, qtbot, expect_log):
    fake.broken.add(3)
    thread.request(3)
    qtbot.waitUntil(lambda: not thread.busy)
    (failure,) = thread.failures
    assert failure.request.number == 3
    assert "damaged at frame 3" in failure.sentence
    with expect_log("could not be read"):
        thread.request(13)
        qtbot.waitUntil(lambda: not thread.busy)
    assert "can't be shown" in thread.failures[-1].sentence
    thread.request(4)
    qtbot.waitUntil(lambda: not thread.busy)
    assert thread.got[-1].number == 4


def test_a_film_that_is_gone_is_said_and_tried_again(qapp, qtbot, tmp_path):
    path = tmp_path / "film.mp4"
    make(path, Kind(options=GOP, frames=5))
    film = open_film(path)
    elsewhere = path.rename(tmp_path / "elsewhere.mp4")
    thread = ReaderThread(film)
    try:
        thread.request(2)
        with qtbot.waitSignal(thread.failed) as caught:
            pass
        assert "is not at" in caught.args[0].sentence
        elsewhere.rename(path)
        thread.request(2)
        with qtbot.waitSignal(thread.ready):
            pass
    finally:
        thread.shutdown()


def test_what_comes_next_is_made_ready_in_the_direction_of_travel(thread, fake, qtbot):
    thread.request(20)
    qtbot.waitUntil(lambda: len(fake.prepared) >= 2)
    fake.prepared.clear()
    thread.request(19)
    qtbot.waitUntil(lambda: len(fake.prepared) >= 2)
    (at, first), (_, second) = fake.prepared[:2]
    assert at == 19
    assert first < 0 < second


def test_pictures_next_to_the_one_on_show_are_made_but_not_while_the_film_plays(thread, fake, qtbot):
    fake.near_left = [1, 2]
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy and thread.settled)
    assert fake.near == [7, 7]
    fake.near_left = [1, 2]
    thread.request(8, in_passing=True)
    qtbot.waitUntil(lambda: not thread.busy and thread.settled)
    assert fake.near == [7, 7]


def test_a_request_comes_before_work_ahead(thread, fake, qtbot):
    fake.work_left = 10**9  # without end
    thread.request(1)
    qtbot.waitUntil(lambda: len(fake.prepared) > 10)
    thread.request(2)
    qtbot.waitUntil(lambda: not thread.busy)
    assert thread.got[-1].number == 2


def test_shutdown_gives_up_what_is_being_decoded_and_says_nothing_more(thread, fake, qtbot):
    fake.gate.clear()
    thread.request(1)
    assert fake.begun.wait(2)
    thread.shutdown()
    assert fake.closed
    assert not thread.busy
    thread.request(2)
    thread.shutdown()
    qtbot.wait(0)
    assert thread.got == []
    assert fake.asked == [1]


def test_never_asked_never_started(qapp, fake):
    before = threading.active_count()
    thread = ReaderThread(FILM, make_reader=lambda film, stopped: fake)
    thread.shutdown()
    assert threading.active_count() == before


def test_small_pictures_are_made_when_nothing_is_asked_for(thread, fake, qtbot):
    thread.cover(40, 44)
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    assert fake.smalls == []
    qtbot.waitUntil(lambda: fake.smalls == [40, 41, 42, 43, 44])
    qtbot.waitUntil(lambda: thread.settled)
    thread.cover(50, 51)
    qtbot.waitUntil(lambda: fake.smalls[5:] == [50, 51])


def test_where_the_full_picture_takes_time_the_small_one_of_that_frame_comes_first(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    fake.smalls.append(30)
    fake.gate.clear()
    thread.request(30)
    qtbot.waitUntil(lambda: len(thread.got) == 2)
    assert thread.busy
    assert (thread.got[-1].number, thread.got[-1].small) == (30, True)
    assert thread.got[-1].image.width() == 4
    fake.gate.set()
    qtbot.waitUntil(lambda: not thread.busy)
    assert (thread.got[-1].number, thread.got[-1].small) == (30, False)
    fake.ready.add(30)
    thread.request(30)
    qtbot.waitUntil(lambda: not thread.busy)
    assert [ready.small for ready in thread.got] == [False, True, False, False]


def test_after_a_small_picture_the_full_one_gives_way_to_a_newer_request(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    fake.smalls += [30, 31]
    fake.gate.clear()
    for number in (30, 31):
        thread.request(number)
        qtbot.waitUntil(lambda n=number: thread.got[-1].number == n)
    assert [(ready.number, ready.small) for ready in thread.got[1:]] == [(30, True), (31, True)]
    fake.gate.set()
    qtbot.waitUntil(lambda: not thread.busy)
    assert (thread.got[-1].number, thread.got[-1].small) == (31, False)
    assert 30 not in [ready.number for ready in thread.got if not ready.small]


def test_a_decoded_frame_is_said_at_once_whatever_the_thread_does(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    fake.gate.clear()
    fake.begun.clear()
    thread.request(30)
    assert fake.begun.wait(2)
    fake.ready.add(8)
    thread.request(8)
    assert (thread.got[-1].number, thread.got[-1].small) == (8, False)
    assert not thread.busy
    fake.gate.set()
    qtbot.waitUntil(lambda: thread.settled)
    assert fake.centre == 8
    assert [ready.number for ready in thread.got] == [7, 8]  # nothing older comes after it


def test_as_sharp_as_the_screen_is_enough_in_passing_and_full_comes_after_a_rest(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    fake.screens |= {30, 31}
    thread.request(30, in_passing=True)
    assert (thread.got[-1].number, thread.got[-1].small) == (30, True)
    assert not thread.busy
    thread.request(31)
    assert thread.busy
    assert (thread.got[-1].number, thread.got[-1].small) == (31, True)
    qtbot.waitUntil(lambda: not thread.busy)
    assert (thread.got[-1].number, thread.got[-1].small) == (31, False)
    assert fake.asked == [7, 31]


def test_light_takes_the_small_picture_and_decodes_nothing_for_it(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    fake.smalls.append(8)
    fake.ready.add(8)
    thread.request(8, in_passing=True, light=True)
    assert (thread.got[-1].number, thread.got[-1].small) == (8, True)
    assert not thread.busy
    thread.request(8)
    assert (thread.got[-1].number, thread.got[-1].small) == (8, False)
    assert fake.asked == [7]


def test_without_a_small_picture_a_frame_is_decoded_to_the_end(thread, fake, qtbot):
    fake.gate.clear()
    thread.request(1)
    assert fake.begun.wait(2)
    thread.request(2)
    fake.gate.set()
    qtbot.waitUntil(lambda: not thread.busy)
    assert [ready.number for ready in thread.got][-1] == 2
    assert fake.asked == [1, 2]


def test_the_memory_can_be_set_while_it_reads(thread, fake, qtbot):
    thread.request(7)
    qtbot.waitUntil(lambda: not thread.busy)
    thread.cover(40, 41)
    qtbot.waitUntil(lambda: fake.smalls == [40, 41])
    thread.limit(1_000_000)
    qtbot.waitUntil(lambda: fake.smalls == [40, 41, 40, 41])
    assert fake.budget == 1_000_000


def test_an_image_keeps_its_picture():
    picture = np.random.default_rng(1).integers(0, 255, (5, 7, 4), np.uint8)
    kept = picture.copy()
    image = image_of(picture)
    del picture
    seen = np.frombuffer(image.constBits(), np.uint8).reshape(5, 7, 4)
    assert np.array_equal(seen, kept)
    assert image.format() is QImage.Format.Format_RGB32


def test_the_real_reader_shows_the_frames_asked_for(qapp, qtbot, tmp_path):
    path = make(tmp_path / "film.mp4", Kind(options=GOP, frames=40))
    _, pictures = straight(path)
    thread = ReaderThread(
        open_film(path), make_reader=lambda film, stopped: QuickReader(film, 60_000, stopped=stopped)
    )
    got: list[FrameReady] = []
    thread.ready.connect(got.append)
    try:
        for number in [0, 1, 2, 30, 29, 28, 5, 39, 38, 0]:
            thread.request(number)
            qtbot.waitUntil(lambda: not thread.busy)
            assert got[-1].number == number
            seen = np.frombuffer(got[-1].image.constBits(), np.uint8).reshape(64, 96, 4)
            assert np.array_equal(seen, pictures[number])
    finally:
        thread.shutdown()
