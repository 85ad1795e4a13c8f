"""Interlaced pictures hold two moments: none of them is ever shown as one."""

import random

import pytest

from analysis.film import FrameReader, open_film
from analysis.film.check import check_film
from analysis.film.quick_reader import QuickReader
from analysis.values.errors import FilmError, InterlacedError
from tests.analysis.film.making import GOP, Kind, joined, make, straight
from tests.analysis.film.not_shown import check_shown, each_frames

PLAIN, FIELDS = Kind(suffix=".ts", options=GOP, frames=24), {**GOP, "x264-params": "tff=1"}


@pytest.fixture(scope="module", params=[".ts", ".mkv", ".mp4"])
def mixed(request, tmp_path_factory):
    """A film whose second half is interlaced."""
    folder = tmp_path_factory.mktemp("mixed")
    first = make(folder / "first.ts", PLAIN)
    second = make(folder / "second.ts", Kind(suffix=".ts", options=FIELDS, frames=24))
    return joined(folder / f"mixed{request.param}", [first, second])


def two_moments(path):
    """Frames that hold two moments, by the program."""
    return {number for number, is_so in enumerate(each_frames("interlaced_frame", path)) if is_so}


def test_a_film_that_begins_interlaced_is_refused(tmp_path):
    with pytest.raises(FilmError, match="interlaced"):
        open_film(make(tmp_path / "interlaced.mp4", Kind(options=FIELDS)))


@pytest.mark.parametrize("budget", [400_000_000, 60_000])
def test_a_part_that_is_interlaced_is_never_shown(mixed, budget):
    film, (_, pictures), two = open_film(mixed), straight(mixed), two_moments(mixed)
    assert two == set(range(24, 48))
    chance = random.Random(2)
    asked = [*range(47, -1, -1), *(chance.randrange(48) for _ in range(60)), *range(48)]
    with FrameReader(film, budget) as reader:
        check_shown(reader, asked, pictures, two, InterlacedError, "is interlaced")


def test_what_is_made_ready_ends_before_it(mixed):
    film = open_film(mixed)
    reader = QuickReader(film)
    reader.cover(0, 47)
    reader.picture(20)
    while reader.prepare(20, 20):
        pass
    while reader.make_small():
        pass
    at_hand = {number for number in range(48) if reader.at_hand(number) is not None}
    reader.close()
    assert set(range(20, 24)) <= at_hand <= set(range(24))


def test_the_check_says_so_first(mixed):
    finding = check_film(open_film(mixed)).findings[0]
    assert finding.topic == "interlaced"
    assert not finding.good
    assert finding.value >= 24


def test_a_film_that_is_not_is_not_called_so(film_of_kind):
    topics = [finding.topic for finding in check_film(open_film(film_of_kind("mpeg-ts"))).findings]
    assert "interlaced" not in topics
