"""Opening films: the window stays alive, it can be given up, and marks are shown on their own film alone."""

import threading
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl

from analysis.film import open_film
from app import film_opener
from app.film_shelf import Order
from tests.analysis.film.making import Kind, make
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import FRAMES, RATE_HZ, SIZE
from tests.window.test_bad_input import drop


class SlowDisk:
    """A disk that gives a film's file only when it is told to; counts how often each was read."""

    def __init__(self, monkeypatch):
        self.open = threading.Event()
        self.read: list[str] = []
        monkeypatch.setattr(film_opener, "open_film", self.open_film)

    def open_film(self, path, coach_rate_hz, every, watch):
        self.read.append(Path(path).name)
        watch(0.5)
        while not self.open.wait(0.005):
            watch(0.5)
        return open_film(path, coach_rate_hz, every, watch)


@pytest.fixture
def disk(monkeypatch):
    """A slow disk."""
    return SlowDisk(monkeypatch)


@pytest.fixture
def waits(coach):
    """Waits for something to be so."""
    return coach.qtbot.waitUntil


def test_numbers_stand_while_the_film_is_still_being_read(coach, window, small, disk, waits):
    window.open_paths([small])
    disk.open.set()
    coach.wait_for_picture()
    coach.press("D")
    project = coach.bench.path
    window.films._outcomes.clear()  # as in a program just started
    disk.open.clear()
    window.open_paths([project])
    place = coach.workspace.film_place
    waits(place.isVisible)
    assert "rep.mp4" in place.words.text()
    waits(lambda: place.bar.value() == place.bar.maximum() // 2)
    assert coach.bench.film is None
    assert coach.bench.reading is not None  # from the times that the project keeps
    assert coach.workspace.rail.isEnabled()
    assert_accessible(window)
    disk.open.set()
    coach.wait_for_picture()
    assert not place.isVisible()


def test_a_film_that_is_on_show_already_is_read_by_one_reader(coach, window, small, waits):
    for _ in range(2):
        window.open_paths([small])
        waits(lambda: not window.opening.busy)
        coach.wait_for_picture()
        assert sum(thread.name == "film reader" for thread in threading.enumerate()) == 1


def test_opening_can_be_given_up_and_begun_again(coach, window, small, disk, waits):
    window.open_paths([small])
    place = coach.workspace.film_place
    waits(place.isVisible)
    coach.qtbot.mouseClick(place.stop, Qt.MouseButton.LeftButton)
    assert not place.isVisible()
    assert "was not opened" in coach.notice
    assert coach.bench.path is None
    assert not small.with_suffix(".cinderlane").exists()
    disk.open.set()
    assert window.open_path(small)
    coach.wait_for_picture()


def test_the_window_closes_while_a_film_is_being_read(coach, window, small, disk, waits):
    window.open_paths([small])
    waits(lambda: disk.read == ["rep.mp4"])
    window.close()
    assert not any(thread.name == "opening films" for thread in threading.enumerate())
    assert not small.with_suffix(".cinderlane").exists()


def test_films_dropped_together_are_runs_of_one_project_each_read_once(coach, window, clip, tmp_path, disk):
    disk.open.set()
    films = [make(tmp_path / f"rep{n}.mp4", Kind(frames=30 + n, rate=RATE_HZ, size=SIZE)) for n in (1, 2, 3)]
    drop(window, *(QUrl.fromLocalFile(str(film)) for film in films))
    coach.qtbot.waitUntil(lambda: not window.opening.busy)
    coach.wait_for_picture()
    assert sorted(run.name for run in coach.bench.project.runs.values()) == ["rep1", "rep2", "rep3"]
    assert coach.bench.run.name == "rep1"
    assert coach.bench.path == films[0].with_suffix(".cinderlane")
    assert sorted(disk.read) == ["rep1.mp4", "rep2.mp4", "rep3.mp4"]
    assert "3 films are open" in coach.notice


def test_the_same_film_encoded_anew_asks_before_marks_are_shown_on_it(coach, window, small, waits):
    assert window.open_path(small)
    coach.wait_for_picture()
    coach.press("D")
    project, run = coach.bench.path, coach.bench.run
    make(small, Kind(frames=FRAMES, rate=RATE_HZ, size=(160, 90)))
    window.open_paths([project])
    question = coach.workspace.question
    waits(question.isVisible)
    assert coach.pane.film is None
    assert [button.text() for button in question.buttons] == ["It is the same film", "Find the film…"]
    assert_accessible(window)
    coach.qtbot.mouseClick(question.buttons[0], Qt.MouseButton.LeftButton)
    coach.wait_for_picture()
    assert not question.isVisible()
    assert coach.bench.run == run


def test_a_project_that_another_window_changed_is_taken_in_when_turned_to(open_window, marked, small):
    other = open_window()
    assert other.open_path(marked.bench.path)
    marked.press("Delete")
    marked.press(".", 2)
    marked.press("Delete")
    assert other.bench.project != marked.bench.project
    marked.window.activateWindow()
    marked.qtbot.waitUntil(marked.window.isActiveWindow)
    other.activateWindow()
    marked.qtbot.waitUntil(lambda: other.bench.project == marked.bench.project)
    assert other.bench.run == marked.bench.run


def test_a_film_that_was_read_but_not_yet_taken_is_not_read_again(coach, window, small, disk):
    disk.open.set()
    order = Order(small)
    assert window.films.get(order) is None
    reading = window.films._thread
    if reading is not None:
        reading.join()  # its word waits in the window's queue
    film = window.films.get(order)
    assert film is not None
    coach.qtbot.waitUntil(lambda: not window.films._done)
    assert window.films.get(order) is film
    assert disk.read == ["rep.mp4"]
