"""Films that were opened lately: none is read twice while its file is the same; not too many are kept."""

import os
from dataclasses import replace

import pytest

from analysis.film import open_film
from analysis.values.command import FilmEntry
from analysis.values.errors import FilmError, MissingFilmError
from app import film_shelf
from app.film_shelf import FILMS, FRAMES, FilmShelf, Order
from tests.analysis.film.making import GOP, Kind, make


@pytest.fixture
def path(tmp_path):
    return make(tmp_path / "film.mp4", Kind(options=GOP, frames=12))


@pytest.fixture
def reads(monkeypatch):
    """Which files were read, in order."""
    found = []

    def reading(path, *rest):
        found.append(path.name)
        return open_film(path, *rest)

    monkeypatch.setattr(film_shelf, "open_film", reading)
    return found


@pytest.fixture
def shelf(qapp):
    return FilmShelf()


def test_a_film_is_read_once(shelf, path, reads):
    film = shelf.get(Order(path))
    assert film == open_film(path)
    assert shelf.get(Order(path), urgent=False) is film
    assert reads == ["film.mp4"]


def test_another_rate_or_fewer_frames_are_another_film(shelf, path, reads):
    film, slow = shelf.get(Order(path)), shelf.get(Order(path, 240.0))
    assert slow.capture_rate_hz == 240.0
    assert shelf.get(Order(path)) is film
    assert len(reads) == 2


def test_a_file_that_changed_is_read_anew(shelf, path, reads):
    shelf.get(Order(path))
    make(path, Kind(options=GOP, frames=20))
    assert shelf.get(Order(path)).frames == 20
    same_size = path.stat().st_mtime_ns + 1_000_000
    os.utime(path, ns=(same_size, same_size))
    assert shelf.get(Order(path)).frames == 20
    assert len(reads) == 3


def test_what_is_wrong_with_a_file_is_kept_until_it_changes(shelf, tmp_path, path, reads):
    bad = tmp_path / "bad.mp4"
    bad.write_bytes(b"no film at all")
    for _ in range(2):
        with pytest.raises(FilmError, match="not a film"):
            shelf.get(Order(bad))
    assert reads == ["bad.mp4"]
    bad.write_bytes(path.read_bytes())
    assert shelf.get(Order(bad)).frames == 12


def test_a_film_that_is_not_there_is_looked_for_each_time(shelf, path):
    gone = path.rename(path.with_name("elsewhere.mp4"))
    with pytest.raises(MissingFilmError, match="Connect the drive"):
        shelf.get(Order(path))
    gone.rename(path)
    assert shelf.get(Order(path)).frames == 12


def test_the_films_asked_for_lately_are_kept(shelf, path, monkeypatch):
    film = open_film(path)
    monkeypatch.setattr(film_shelf, "open_film", lambda *_: replace(film))
    orders = [Order(path, 100.0 + n) for n in range(FILMS)]
    kept = [shelf.get(order) for order in orders]
    assert not shelf.has_room
    assert shelf.get(orders[0]) is kept[0]  # asked for again: the newest now
    shelf.get(Order(path, 500.0))
    assert shelf.get(orders[0]) is kept[0]
    assert shelf.get(orders[1]) is not kept[1]


def test_never_more_frames_than_memory_is_meant_for(shelf, path, monkeypatch):
    film = open_film(path)
    long = replace(film, index=film.index * (FRAMES // 24))
    monkeypatch.setattr(film_shelf, "open_film", lambda *_: replace(long))
    first, second = Order(path, 100.0), Order(path, 101.0)
    kept = [shelf.get(first), shelf.get(second)]
    assert not shelf.has_room
    third = shelf.get(Order(path, 102.0))
    assert shelf.get(Order(path, 102.0)) is third
    assert shelf.get(second) is kept[1]
    assert shelf.get(first) is not kept[0]


def test_how_the_coach_had_a_film_read_is_asked_for_again(path):
    entry = FilmEntry("film", "elsewhere", "", coach_rate_hz=240.0, every=3)
    assert Order.of(entry, path) == Order(path, 240.0, 3)
    assert Order.of(replace(entry, coach_rate_hz=None, every=None), path) == Order(path)
