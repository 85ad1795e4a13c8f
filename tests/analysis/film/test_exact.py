"""Frame i is the same picture and the same time however it was reached."""

import random
from fractions import Fraction

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from tests.analysis.film.making import GOP, KINDS, Kind, make, matrix, placed, remux, straight

ROOMY, TIGHT = 400_000_000, 30_000

TURNS = {
    "upright": (1, 0, 0, 1),
    "quarter": (0, 1, -1, 0),
    "half": (-1, 0, 0, -1),
    "three quarters": (0, -1, 1, 0),
    "mirrored": (-1, 0, 0, 1),
    "upside down": (1, 0, 0, -1),
    "mirrored quarter": (0, 1, 1, 0),
    "mirrored three quarters": (0, -1, -1, 0),
}


def orders(frames):
    """Forwards, backwards, and 200 jumps."""
    jumps = random.Random(7)
    return {
        "forwards": range(frames),
        "backwards": range(frames - 1, -1, -1),
        "jumps": [jumps.randrange(frames) for _ in range(200)],
    }


def wrong(film, pictures, budget):
    """Frames that are not the picture of a straight decode, for each order."""
    found = {}
    for name, order in orders(film.frames).items():
        few = order[:40] if film.shown_size[0] > 1000 else order
        with FrameReader(film, budget) as reader:
            found[name] = [n for n in few if not np.array_equal(reader.picture(n), pictures[n])]
    return found


@pytest.mark.parametrize("budget", [ROOMY, TIGHT], ids=["roomy", "tight"])
@pytest.mark.parametrize("name", [name for name in KINDS if name != "avi with B-frames"])
def test_every_frame_is_the_one_of_a_straight_decode(film_of_kind, name, budget):
    path = film_of_kind(name)
    times, pictures = straight(path)
    film = open_film(path)
    assert [entry.pts for entry in film.index] == times
    assert film.shown_size == (pictures[0].shape[1], pictures[0].shape[0])
    assert not any(wrong(film, pictures, budget).values())


@pytest.mark.parametrize("name", [name for name in KINDS if name not in {"hevc open groups", "one picture"}])
def test_all_frames_that_were_put_in_are_shown(film_of_kind, name):
    assert open_film(film_of_kind(name)).frames == KINDS[name].frames


def test_without_presentation_times_frames_are_counted(film_of_kind):
    path = film_of_kind("avi with B-frames")
    _, pictures = straight(path)
    film = open_film(path)
    assert film.counted
    assert film.facts.times.seconds == pytest.approx(np.arange(30) / 30)
    assert any("jumping about" in note for note in film.notes)
    assert not any(wrong(film, pictures, ROOMY).values())


@pytest.mark.parametrize("turn", TURNS)
def test_turned_and_mirrored(tmp_path, turn):
    asked = matrix(*TURNS[turn])
    path = make(tmp_path / "turned.mp4", Kind(options=GOP, frames=14, matrix=asked))
    _, stored = straight(path)
    pictures = [placed(picture, asked) for picture in stored]
    film = open_film(path)
    assert film.shown_size == (pictures[0].shape[1], pictures[0].shape[0])
    assert not any(wrong(film, pictures, ROOMY).values())


def test_a_turned_film_of_long_pixels(tmp_path):
    asked = matrix(*TURNS["quarter"])
    kind = Kind(options=GOP, frames=14, matrix=asked, pixel_aspect=Fraction(4, 3))
    path = make(tmp_path / "long.mp4", kind)
    _, stored = straight(path)
    film = open_film(path)
    assert film.shown_size == (64, 128)
    assert not any(wrong(film, [placed(picture, asked) for picture in stored], ROOMY).values())


@pytest.mark.parametrize("open_groups", [False, True])
def test_a_film_cut_without_encoding_shows_what_its_edit_list_says(tmp_path, film_of_kind, open_groups):
    source = film_of_kind("h264 open groups" if open_groups else "h264 with B-frames")
    path = remux(source, tmp_path / "cut.mp4", 17, {"avoid_negative_ts": "disabled", "use_editlist": "1"})
    times, pictures = straight(path)
    film = open_film(path)
    assert film.frames == 60 - 17
    assert [entry.pts for entry in film.index] == times
    assert not any(wrong(film, pictures, ROOMY).values())


@pytest.mark.parametrize("names", [("h264 open groups", "mpeg-ts open groups"), ("hevc open groups", "vfr")])
def test_a_thousand_jumps_with_two_films_open(film_of_kind, names):
    """Jumps and steps taken in turn in two films, each with memory for a few frames only."""
    chance = random.Random(2)
    pictures = [straight(film_of_kind(name))[1] for name in names]
    films = [open_film(film_of_kind(name)) for name in names]
    at = [0, 0]
    with FrameReader(films[0], 120_000) as one, FrameReader(films[1], 120_000) as two:
        for turn in range(2000):
            which = turn % 2
            last = films[which].frames - 1
            step = chance.choice([1, -1, 1000])
            at[which] = chance.randint(0, last) if step == 1000 else min(last, max(0, at[which] + step))
            shown = (one, two)[which].picture(at[which])
            assert np.array_equal(shown, pictures[which][at[which]]), (turn, at)


def test_small_pictures_are_of_the_same_frame(film_of_kind):
    film = open_film(film_of_kind("h264 with B-frames"))
    with FrameReader(film) as reader:
        small = reader.small(33, 48)
        assert small.shape == (32, 48, 4)
        assert small.flags.c_contiguous
        large = reader.picture(33).astype(float)
        halved = large.reshape(32, 2, 48, 2, 4).mean(axis=(1, 3))
        assert np.abs(halved - small).mean() < 6
        assert reader.small(33, 5000).shape == (64, 96, 4)


def test_each_picture_has_memory_of_its_own(film_of_kind):
    film = open_film(film_of_kind("h264 with B-frames"))
    with FrameReader(film) as reader:
        first = reader.picture(5)
        kept = first.copy()
        again = reader.picture(5)
        assert not np.shares_memory(first, again)
        again[:] = 0
        for number in range(20):
            reader.picture(number)
    assert np.array_equal(first, kept)
    assert first.dtype == np.uint8
    assert (first[:, :, 3] == 255).all()
