"""Which frames an annotated film shows: counted out by hand for films of even and of uneven times."""

from fractions import Fraction

import pytest

from analysis.report.film_order import Pace, ordered
from analysis.values.errors import CinderlaneError
from analysis.values.film import FrameTimes


def filmed(rate_hz, frames=100, unit=Fraction(1, 90_000)):
    return FrameTimes(tuple(round(n / rate_hz / unit) for n in range(frames)), unit)


@pytest.mark.parametrize(
    ("rate_hz", "speed", "each", "every", "plays_hz"),
    [
        (240, 0.25, 1, 1, 60),
        (240, 0.1, 1, 1, 24),
        (240, 0.05, 2, 1, 24),
        (240, 0.5, 1, 2, 60),
        (240, 1.0, 1, 4, 60),
        (30, 0.25, 4, 1, 30),
        (30, 1.0, 1, 1, 30),
        (120, 0.25, 1, 1, 30),
    ],
)
def test_every_frame_is_shown_equally_often_or_every_so_manieth(rate_hz, speed, each, every, plays_hz):
    order = ordered(filmed(rate_hz), 7, 46, (), Pace(speed))
    assert order.rate_hz == plays_hz
    assert order.frames == tuple(f for f in range(7, 47, every) for _ in range(each))


def test_the_film_lasts_as_long_as_it_was_filmed_over_its_speed():
    order = ordered(filmed(240, 721), 0, 719, (), Pace(0.25))
    assert len(order.frames) / order.rate_hz == 12


@pytest.mark.parametrize("unit", [Fraction(1, 600), Fraction(1, 1000), Fraction(1, 90_000)])
def test_stored_times_that_were_rounded_leave_no_frame_out(unit):
    order = ordered(filmed(240, 700, unit), 0, 699, (), Pace(0.25))
    assert order.frames == tuple(range(700))
    assert float(order.rate_hz) == pytest.approx(60, abs=0.1)


def test_the_rates_of_television_are_kept():
    order = ordered(filmed(Fraction(30_000, 1001)), 0, 99, (), Pace(1.0))
    assert order.rate_hz == Fraction(30_000, 1001)
    assert order.frames == tuple(range(100))


def test_a_frame_that_lasted_longer_is_shown_longer():
    times = FrameTimes((0, 1, 2, 6, 7, 8), Fraction(1, 30))
    order = ordered(times, 0, 5, (), Pace(1.0))
    shown_s = [order.frames.count(frame) / float(order.rate_hz) for frame in range(6)]
    assert shown_s[2] == pytest.approx(4 / 30, abs=1.01 / float(order.rate_hz))
    assert len(order.frames) / float(order.rate_hz) == pytest.approx(9 / 30, abs=1.5 / float(order.rate_hz))


def test_it_is_held_at_every_stop_within_the_stretch():
    order = ordered(filmed(240), 10, 40, (5, 20, 40, 41), Pace(0.25, hold_s=0.5))
    assert len(order.frames) == 31 + 2 * 30
    assert [order.frames.count(frame) for frame in (19, 20, 21, 40)] == [1, 31, 1, 31]
    assert list(order.frames) == sorted(order.frames)


def test_a_stop_on_a_frame_that_is_passed_over_is_shown_all_the_same():
    order = ordered(filmed(240), 0, 39, (22, 39), Pace(1.0, hold_s=1.0))
    assert order.frames.count(22) == order.frames.count(39) == 60
    assert list(order.frames) == sorted(order.frames)


def test_one_frame_makes_a_film():
    assert set(ordered(filmed(240), 3, 3, (3,), Pace()).frames) == {3}
    assert set(ordered(FrameTimes((0,), Fraction(1, 30)), 0, 0, (), Pace()).frames) == {0}


@pytest.mark.parametrize(
    "wrong", [{"speed": 0}, {"speed": 3}, {"speed": float("nan")}, {"hold_s": -1}, {"hold_s": 99}]
)
def test_a_pace_that_no_film_has_is_refused(wrong):
    with pytest.raises(CinderlaneError, match="between"):
        Pace(**wrong)
