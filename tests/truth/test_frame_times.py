"""Presentation times agree with ffprobe frame by frame, and phone films are read as they are."""

from fractions import Fraction

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.values.film import RateSource
from tests.analysis.film.making import KINDS, placed, straight
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import PHONE, ask, films, kept

TO_THE_MICROSECOND = 0.51e-6  # ffprobe prints six digits


def assert_agrees(film, said):
    """The film's index, times of filming and size as shown are those that ffprobe tells."""
    facts, frames = said
    assert [entry.pts for entry in film.index] == [pts for pts, _ in frames]
    assert film.time_base == Fraction(facts["time_base"])
    scale = 1.0
    if film.rate_source is not RateSource.TIMES:
        scale = film.container_rate_hz / film.capture_rate_hz
    seconds = np.array([float(time) for _, time in frames])
    assert film.facts.times.seconds == pytest.approx(
        (seconds - seconds[0]) * scale, abs=2 * TO_THE_MICROSECOND
    )
    assert film.rotation_deg == int(facts["rotation"]) % 360
    stored = int(facts["width"]), int(facts["height"])
    assert film.shown_size == (stored[::-1] if film.rotation_deg in (90, 270) else stored)


@pytest.mark.parametrize("name", films())
def test_as_in_the_table(name):
    assert_agrees(open_film(films()[name]), kept(name))


@pytest.mark.parametrize("name", films())
def test_as_the_program_says_now(name):
    assert_agrees(open_film(films()[name]), ask(need("ffprobe"), films()[name]))


@pytest.mark.parametrize(
    "name", [name for name in KINDS if name not in {"avi with B-frames", "pixels not square"}]
)
def test_films_of_every_kind_as_the_program_says(film_of_kind, name):
    assert_agrees(open_film(film_of_kind(name)), ask(need("ffprobe"), film_of_kind(name)))


def phone(name):
    return open_film(PHONE / name)


def test_slow_motion_by_its_tag():
    film = phone("sample_android_slow_motion.mp4")
    assert (film.capture_rate_hz, film.rate_source) == (240.0, RateSource.METADATA)
    assert np.median(np.diff(film.facts.times.seconds)) == pytest.approx(1 / 240, rel=0.02)


def test_packets_that_are_not_shown_are_no_frames():
    assert phone("sample_sef_slow_motion.mp4").frames == 63


def test_turned_and_mirrored_at_once():
    path = PHONE / "sample_rotate_and_reflect.mp4"
    film = open_film(path)
    assert (film.rotation_deg, film.mirrored, film.shown_size) == (270, True, (720, 1080))
    _, stored = straight(path)
    with FrameReader(film) as reader:
        for number in (29, 0, 15):
            transposed = placed(stored[number], (0, 1, 0, 1, 0))
            assert np.array_equal(reader.picture(number), transposed)


@pytest.mark.parametrize("name", [path.name for path in films().values() if path.parent == PHONE])
def test_phone_films_are_read_backwards_as_forwards(name):
    film = phone(name)
    numbers = range(0, film.frames, max(1, film.frames // 8))
    with FrameReader(film) as reader:
        forwards = {number: reader.picture(number) for number in numbers}
    with FrameReader(film, 10_000_000) as reader:
        for number in reversed(numbers):
            assert np.array_equal(reader.picture(number), forwards[number])
