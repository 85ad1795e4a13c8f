"""Stops along a film, their order, and how a narration goes by itself."""

from fractions import Fraction

import pytest

from analysis.values.errors import FrameError, NarrationError
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.narration import Narration, Stop
from analysis.values.narration_course import course

TIMES = FrameTimes(tuple(range(1000)), Fraction(1, 240))
"""240 frames a second."""


def stop(name, frame, **more):
    return Stop(name, FrameNumber(frame), **more)


@pytest.mark.parametrize(
    "more",
    [{"hold_s": -1}, {"hold_s": 61}, {"speed_after": 0}, {"speed_after": 1.5}, {"zoom": (0, 0, 0, 9)}],
)
def test_what_can_not_be_is_refused(more):
    with pytest.raises(NarrationError):
        stop("a", 1, **more)


@pytest.mark.parametrize("runs", [(), ("a", "b", "c")])
def test_it_goes_over_one_run_or_two(runs):
    with pytest.raises(NarrationError, match="one run, or over two"):
        Narration("n", "", runs)


def test_stops_are_a_list():
    told = Narration("n", "", ("r",), (stop("a", 1), stop("b", 2), stop("c", 3)))
    names = [[one.id for one in made.stops] for made in (
        told.with_stop(stop("d", 9)),
        told.with_stop(stop("d", 9), 1),
        told.with_stop(told.stops[2], 0),
        told.with_stop(stop("b", 7)),
        told.without("b"),
    )]  # fmt: skip
    assert names == [list("abcd"), list("adbc"), list("cab"), list("abc"), list("ac")]
    assert told.with_stop(stop("b", 7)).stop("b").frame == 7


def test_the_film_stands_and_plays_on_at_the_speed_of_the_stop():
    """By hand: 2 s at frame 24; 0.4 s of film at a quarter take 1.6 s; 1 s at frame 120."""
    told = Narration("n", "", ("r",), (stop("a", 24, hold_s=2.0), stop("b", 120, hold_s=1.0)))
    way = course(told, TIMES)
    assert way.lasts_s == pytest.approx(4.6)
    shown = [(way.at(t).frame, way.at(t).stop_id) for t in (0.0, 1.99, 2.8, 3.599, 3.7, 9.0)]
    assert shown == [(24, "a"), (24, "a"), (24 + 48, "a"), (119, "a"), (120, "b"), (120, "b")]


def test_an_earlier_stop_is_shown_at_once():
    told = Narration("n", "", ("r",), (stop("a", 120, hold_s=1.0), stop("b", 24, hold_s=1.0)))
    way = course(told, TIMES)
    assert way.lasts_s == pytest.approx(2.0)
    assert [way.at(t).frame for t in (0.99, 1.01)] == [120, 24]


def test_two_films_are_where_they_shall_be_at_each_stop():
    """The second film has half as far to go between the stops: it is there when the first is."""
    stops = (
        stop("a", 0, hold_s=0.0, beside=FrameNumber(10), speed_after=1.0),
        stop("b", 240, hold_s=1.0, beside=FrameNumber(130)),
    )
    way = course(Narration("n", "", ("r", "s"), stops), TIMES, TIMES)
    assert [(way.at(t).frame, way.at(t).beside) for t in (0.0, 0.5, 1.2)] == [(0, 10), (120, 70), (240, 130)]


def test_without_stops_or_beyond_the_film_it_is_said():
    with pytest.raises(NarrationError, match="no stop yet"):
        course(Narration("n", "", ("r",)), TIMES)
    with pytest.raises(FrameError, match="not in the film"):
        course(Narration("n", "", ("r",), (stop("a", 1000),)), TIMES)
