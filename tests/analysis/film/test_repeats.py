"""Films in which every picture stands several times."""

import numpy as np
import pytest

from analysis.film import FrameReader, open_film, repeated_pictures
from analysis.film.repeats import Repeats, pattern, repeats_sentence
from analysis.values.errors import FilmError
from tests.analysis.film.making import GOP, Kind, make, straight
from tests.truth.ffprobe_tables import CLIPS


def repeating(path, every, first=0, **more):
    """A film whose new pictures come at frames ``first``, ``first + every``, ..."""
    kind = Kind(options=GOP, frames=100, shows=lambda n: (n - first + every) // every, **more)
    return make(path, kind)


@pytest.mark.parametrize(("every", "first"), [(2, 0), (2, 1), (3, 0), (3, 2), (4, 1)])
def test_recognised_and_left_out(tmp_path, every, first):
    path = repeating(tmp_path / "film.mp4", every, first, rate=60)
    film = open_film(path)
    assert film.frames == 100
    assert repeated_pictures(film) == every
    sentence = repeats_sentence(film, every)
    assert f"stands {every} times" in sentence
    assert "plays 60 frames" in sentence

    true = open_film(path, every=every)
    begins = sorted({0, *range(first, 100, every)})
    assert [entry.pts for entry in true.index] == [film.index[n].pts for n in begins]
    assert true.container_rate_hz == pytest.approx(60 / every)
    assert true.fingerprint == film.fingerprint
    assert any(f"stands {every} times in the file" in note for note in true.notes)
    _, pictures = straight(path)
    for order in (range(true.frames), range(true.frames - 1, -1, -1)):
        with FrameReader(true, 30_000) as reader:
            for number in order:
                assert np.array_equal(reader.picture(number), pictures[begins[number]]), number


def test_decoding_still_begins_where_it_can(tmp_path):
    """Key frames stand at every twelfth frame; new pictures at 1, 6, 11, ...: none of them is a key frame."""
    true = open_film(repeating(tmp_path / "film.mp4", 5, 1), every=5)
    assert sum(entry.key for entry in true.index) == 1 + 100 // 12


def test_the_coachs_rate_counts_different_pictures(tmp_path):
    true = open_film(repeating(tmp_path / "film.mp4", 2, rate=60), coach_rate_hz=120, every=2)
    assert float(np.median(np.diff(true.facts.times.seconds))) == pytest.approx(1 / 120, rel=1e-6)


@pytest.mark.parametrize(
    "name", ["h264 with B-frames", "hevc open groups", "vfr", "mkv", "mpeg-ts", "webm", "one picture"]
)
def test_ordinary_films_have_no_repeats(film_of_kind, name):
    film = open_film(film_of_kind(name))
    assert repeated_pictures(film) == 1
    assert repeats_sentence(film, 1) == ""
    with pytest.raises(FilmError, match="don't stand 3 times"):
        open_film(film.path, every=3)


def test_the_sample_clips_have_no_repeats():
    assert repeated_pictures(open_film(CLIPS / "wing_day1.mp4")) == 1


def test_where_nothing_moves_it_cannot_be_told(tmp_path):
    path = make(tmp_path / "still.mp4", Kind(options=GOP, shows=lambda _: 1))
    assert repeated_pictures(open_film(path)) == 1


def test_given_up_when_told_to(tmp_path):
    path = repeating(tmp_path / "film.mp4", 3)
    assert repeated_pictures(open_film(path), stopped=lambda: True) == 1


def test_a_picture_that_the_recording_missed_does_not_hide_the_pattern():
    new = [1.0 if n % 3 == 0 else 0.01 for n in range(1, 40)]
    new[14] = 0.02  # frame 15 should be new
    assert pattern(range(1, 40), new) == Repeats(3, 0)


def test_an_athlete_who_slows_down_is_no_pattern():
    rng = np.random.default_rng(4)
    for _ in range(200):
        assert pattern(range(40), rng.uniform(0.2, 2.0, 40)) == Repeats()


def test_pictures_of_two_kinds_are_no_repeats():
    """Compression gives every second or fourth picture less change, as measured: a third or more."""
    assert pattern(range(40), [0.05 if n % 2 else 0.14 for n in range(40)]) == Repeats()
    assert pattern(range(40), [0.47 if n % 4 else 1.56 for n in range(40)]) == Repeats()
