"""The map of times: monotone, exact at its knots, at one pace beyond its ends, and its own inverse."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.values.time_map import IDENTITY, TimeMap

times = st.floats(-1000, 1000)
steps = st.floats(0.004, 5)  # a frame at 240 a second, at least
slips = st.floats(-2, 2)


@st.composite
def maps(draw):
    master, film = draw(times), draw(times)
    knots = [(master, film)]
    for on, film_on in draw(st.lists(st.tuples(steps, steps), max_size=12)):
        knots.append((knots[-1][0] + on, knots[-1][1] + film_on))
    return TimeMap(tuple(knots), draw(slips))


@given(maps(), times)
def test_there_and_back(made, time_s):
    # rounding of a thousand seconds, times the steepest stretch of these maps
    assert made.master_s(made.film_s(time_s)) == pytest.approx(time_s, abs=1e-8)
    assert made.film_s(made.master_s(time_s)) == pytest.approx(time_s, abs=1e-8)


@given(maps(), times, st.floats(0.001, 100))
def test_it_rises(made, time_s, on):
    assert made.film_s(time_s + on) > made.film_s(time_s)
    assert made.master_s(time_s + on) > made.master_s(time_s)


@given(maps())
def test_it_goes_through_its_knots(made):
    for master, film in made.knots:
        assert made.film_s(master) == film + made.slip_s
        assert made.master_s(film + made.slip_s) == pytest.approx(master, abs=1e-9)


@given(maps(), st.floats(0, 100))
def test_beyond_its_ends_both_run_at_one_pace(made, away):
    (first, first_film), (last, last_film) = made.knots[0], made.knots[-1]
    assert made.film_s(first - away) == pytest.approx(first_film + made.slip_s - away, abs=1e-9)
    assert made.film_s(last + away) == pytest.approx(last_film + made.slip_s + away, abs=1e-9)


@given(maps())
def test_between_two_knots_it_is_straight(made):
    for (master, film), (later, later_film) in pairwise(made.knots):
        middle = made.film_s((master + later) / 2) - made.slip_s
        assert middle == pytest.approx((film + later_film) / 2, abs=1e-9)


@given(maps(), times, slips)
def test_a_slip_adds_to_the_films_time(made, time_s, by):
    assert made.slipped(by).film_s(time_s) == pytest.approx(made.film_s(time_s) + by, abs=1e-9)


def test_an_offset_and_the_identity():
    assert IDENTITY.film_s(1.25) == IDENTITY.master_s(1.25) == 1.25
    made = TimeMap.offset(0.35)
    assert made.film_s(0.0) == 0.35
    assert made.master_s(0.35) == 0.0
    assert made.film_s(1.0) == 1.35


@pytest.mark.parametrize(
    "knots", [(), ((0.0, 0.0), (0.0, 1.0)), ((0.0, 0.0), (1.0, 0.0)), ((0.0, 1.0), (1.0, 0.5))]
)
def test_times_that_do_not_rise_are_refused(knots):
    with pytest.raises(ValueError, match="times"):
        TimeMap(knots)
