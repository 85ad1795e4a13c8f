"""Films in which some pictures stand more than once, in no even pattern."""

import pytest

from analysis.film import open_film, repeated_pictures
from analysis.film.uneven_repeats import UnevenRepeats, uneven, uneven_repeats, uneven_sentence
from analysis.values.errors import FilmError
from tests.analysis.film.making import GOP, Kind, make
from tests.truth.ffprobe_tables import CLIPS, PHONE


def film_showing(path, shows, rate=60, frames=120):
    return open_film(make(path, Kind(options=GOP, frames=frames, rate=rate, shows=shows)))


def cadence(*stand):
    """Which picture each frame shows where pictures stand so many times in turn."""
    order = [n for n in range(120) for _ in range(stand[n % len(stand)])]
    return order.__getitem__


@pytest.mark.parametrize(
    ("stand", "share", "late_ms"),
    # 24 pictures a second shown 60 times a second stand 3 and 2 times in turn; of five frames three repeat.
    [((3, 2), 3 / 5, 33), ((2, 1, 1), 1 / 4, 17), ((1,) * 8 + (2,), 1 / 10, 17), ((4, 1), 3 / 5, 50)],
)
def test_said_with_what_it_costs_and_not_put_right(tmp_path, stand, share, late_ms):
    film = film_showing(tmp_path / "film.mp4", cadence(*stand))
    assert repeated_pictures(film) == 1
    found = uneven_repeats(film)
    # Key frames draw a repeated picture anew, and at the ends of a sample nothing can be told.
    assert share - 0.12 < found.repeated / found.looked_at <= share + 0.03
    assert found.longest == max(stand)
    assert f"what was {late_ms} ms earlier" in uneven_sentence(film, found)
    for every in (2, 3, 5):
        with pytest.raises(FilmError, match="don't stand"):
            open_film(film.path, every=every)


def test_a_phone_that_falls_behind_now_and_then(tmp_path):
    late = {17, 43, 44, 71, 96}
    order = [n - sum(1 for frame in late if frame <= n) for n in range(120)]
    found = uneven_repeats(film_showing(tmp_path / "film.mp4", order.__getitem__))
    assert found.longest == 3
    assert found.repeated >= 2


@pytest.mark.parametrize(
    "name", ["h264 with B-frames", "hevc open groups", "mkv", "webm", "av1", "one picture"]
)
def test_ordinary_films(film_of_kind, name):
    film = open_film(film_of_kind(name))
    assert uneven_repeats(film).repeated == 0
    assert uneven_sentence(film, uneven_repeats(film)) == ""


@pytest.mark.parametrize("clip", ["wing_day1.mp4", "wing_day2.mp4"])
def test_the_sample_clips(clip):
    assert uneven_repeats(open_film(CLIPS / clip)).repeated == 0


def test_a_phone_film():
    assert uneven_repeats(open_film(PHONE / "sample_android_slow_motion.mp4")).repeated == 0


def test_where_nothing_moves_nothing_is_called_repeated(tmp_path):
    assert uneven_repeats(film_showing(tmp_path / "still.mp4", lambda _: 1)).repeated == 0


def test_an_athlete_who_waits_and_then_runs_is_no_repeat(tmp_path):
    assert uneven_repeats(film_showing(tmp_path / "film.mp4", lambda n: max(0, n - 60))).repeated == 0


def test_given_up_when_told_to(tmp_path):
    film = film_showing(tmp_path / "film.mp4", cadence(3, 2))
    assert uneven_repeats(film, stopped=lambda: True) == UnevenRepeats()


def test_worked_by_hand():
    assert uneven([1, 0, 0, 1, 0, 1, 0, 0, 1, 0, 1]) == UnevenRepeats(6, 11, 3)
    assert uneven([0, 0, 0, 0, 1, 1, 1]) == UnevenRepeats(0, 7, 1)
