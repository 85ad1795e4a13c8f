"""Times of filming, not of playing."""

from fractions import Fraction

import numpy as np
import pytest

from analysis.film import describe, open_film
from analysis.film.capture_rate import container_rate
from analysis.values.errors import FilmError
from analysis.values.film import RateSource, RateWitness
from tests.analysis.film.making import GOP, Kind, make

SLOW = {"movflags": "use_metadata_tags"}


def film_at(tmp_path, rate, tag=None, coach=None):
    metadata = {} if tag is None else {"com.android.capture.fps": tag}
    kind = Kind(options=GOP, rate=rate, frames=25, metadata=metadata, container_options=SLOW)
    return open_film(make(tmp_path / "film.mp4", kind), coach)


def interval(film):
    return float(np.median(np.diff(film.facts.times.seconds)))


def asks(film):
    return any("slow motion" in note for note in film.notes)


def test_true_times_at_240_need_no_factor(tmp_path):
    film = film_at(tmp_path, 240)
    assert interval(film) == pytest.approx(1 / 240, rel=1e-4)
    assert (film.capture_rate_hz, film.rate_source) == (pytest.approx(240), RateSource.TIMES)
    assert not asks(film)


def test_240_that_plays_at_30_is_divided_by_8(tmp_path):
    film = film_at(tmp_path, 30, "240.000000")
    assert interval(film) == pytest.approx(1 / 240, rel=1e-6)
    assert (film.capture_rate_hz, film.rate_source) == (240, RateSource.METADATA)
    assert film.container_rate_hz == pytest.approx(30)
    assert not asks(film)
    assert any("filmed at 240" in note and "plays at 30" in note for note in film.notes)


def test_30_without_a_word_asks(tmp_path):
    film = film_at(tmp_path, 30)
    assert interval(film) == pytest.approx(1 / 30, rel=1e-6)
    assert (film.capture_rate_hz, film.rate_source) == (pytest.approx(30), RateSource.TIMES)
    assert asks(film)


def test_30_that_the_camera_confirms_does_not_ask(tmp_path):
    film = film_at(tmp_path, 30, "30.000000")
    assert film.rate_source is RateSource.TIMES
    assert not asks(film)


def test_240_that_the_camera_confirms_stays(tmp_path):
    film = film_at(tmp_path, 240, "240.000000")
    assert interval(film) == pytest.approx(1 / 240, rel=1e-4)
    assert film.rate_source is RateSource.TIMES


def test_the_coach_knows_best(tmp_path):
    film = film_at(tmp_path, 30, "240.000000", coach=120.0)
    assert interval(film) == pytest.approx(1 / 120, rel=1e-6)
    assert (film.capture_rate_hz, film.rate_source) == (120, RateSource.COACH)
    assert not asks(film)


@pytest.mark.parametrize("rate", [0.0, -30.0, float("nan"), float("inf")])
def test_no_film_is_taken_at_such_a_rate(tmp_path, rate):
    with pytest.raises(FilmError, match="frames per second"):
        film_at(tmp_path, 30, coach=rate)


@pytest.mark.parametrize("tag", ["", "fast", "nan", "0", "-1"])
def test_a_tag_without_sense_is_no_tag(tmp_path, tag):
    assert film_at(tmp_path, 30, tag).rate_source is RateSource.TIMES


def test_rounded_times_give_their_mean_rate(film_of_kind):
    film = open_film(film_of_kind("mkv"))
    assert film.time_base == Fraction(1, 1000)
    assert film.container_rate_hz == pytest.approx(60, rel=0.01)


def test_a_gap_does_not_change_the_rate():
    times = [n * 3000 + (n > 5) * 26_281 for n in range(12)]
    assert container_rate(times, Fraction(1, 90_000)) == pytest.approx(30)
    assert container_rate([7], Fraction(1, 90_000)) == 0
    assert container_rate([0, 1, 90_000], Fraction(1, 90_000)) == 90_000


def test_the_longest_gap_is_said(tmp_path):
    kind = Kind(options=GOP, frames=12, times=lambda n: n * 3000 + (n > 5) * 6000)
    film = open_film(make(tmp_path / "gap.mp4", kind))
    assert any("before frame 6 there is a gap of 100 ms" in note for note in film.notes)
    slow = open_film(tmp_path / "gap.mp4", coach_rate_hz=240)
    assert any("a gap of 12 ms" in note for note in slow.notes)


def test_evenly_spaced_frames_are_not_mentioned(film_of_kind):
    for name in ("h264 with B-frames", "mkv"):
        assert not any("evenly" in note for note in open_film(film_of_kind(name)).notes)


def test_a_single_picture_has_no_rate(film_of_kind):
    film = open_film(film_of_kind("one picture"))
    assert film.capture_rate_hz is None
    assert describe(film)["times_s"] == [0.0]


def test_described(tmp_path):
    film = film_at(tmp_path, 30, "240")
    told = describe(film)
    assert told["frames"] == 25
    assert told["times_s"] == pytest.approx(np.arange(25) / 240)
    assert (told["width"], told["height"], told["rotation_deg"]) == (96, 64, 0)
    assert (told["container_rate_hz"], told["capture_rate_hz"]) == (pytest.approx(30), 240)
    assert told["notes"] == list(film.notes)


@pytest.mark.parametrize(
    ("plays_hz", "camera", "coach_hz", "witness"),
    [
        (30, None, None, RateWitness.NOBODY),
        (60, None, None, RateWitness.TIMES),
        (30, "30.0", None, RateWitness.CAMERA),
        (30, "240.0", None, RateWitness.CAMERA),
        (30, None, 30.0, RateWitness.COACH),
        (30, "240.0", 120.0, RateWitness.COACH),
    ],
)
def test_whose_word_the_rate_has(tmp_path, plays_hz, camera, coach_hz, witness):
    film = film_at(tmp_path, plays_hz, camera, coach_hz)
    assert film.rate_said_by is witness
    assert describe(film)["rate_said_by"] == witness.value


def test_the_fingerprint_goes_with_the_film_not_its_name(tmp_path, film_of_kind):
    path = film_of_kind("vfr")
    copy = tmp_path / "another name.mp4"
    copy.write_bytes(path.read_bytes())
    assert open_film(path).fingerprint == open_film(copy).fingerprint
    assert open_film(path).fingerprint != open_film(film_of_kind("mkv")).fingerprint


def test_a_setting_near_the_playing_rate_rescales_nothing(tmp_path):
    # a phone in poor light falls short of its setting; the stored times stay the truth
    film = film_at(tmp_path, 28, coach=30.0)
    assert interval(film) == pytest.approx(1 / 28, rel=1e-3)
    assert film.rate_source is RateSource.TIMES
