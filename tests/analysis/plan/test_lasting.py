"""How long a day takes: sums that anybody can do by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.plan.lasting import CHANGE_S, day_s, drill_s
from analysis.values.drill import RestAfter
from tests.analysis.plan.plans import day, drill, put


def test_two_sets_of_three_with_a_rest_between_them():
    assert drill_s(put(sets=2, reps=3, rest_s=60), drill(rep_s=10)) == 30 + 60 + 30


def test_a_rest_after_every_repetition():
    runs = drill(rep_s=10, rest_after=RestAfter.REP)
    assert drill_s(put(sets=1, reps=3, rest_s=120), runs) == 10 + 120 + 10 + 120 + 10


def test_the_turns_of_the_others_are_rest():
    runs = drill(rep_s=10, rest_after=RestAfter.REP)
    # four athletes: each runs every 130 s, the last 30 s after the first
    assert drill_s(put(sets=1, reps=3, rest_s=120), runs, in_turn=4) == 2 * 130 + 40
    # twenty: a round takes longer than run and rest
    assert drill_s(put(sets=1, reps=3, rest_s=120), runs, in_turn=20) == 3 * 200


def test_a_day_counts_the_changes_between_drills():
    drills = {"a": drill("a"), "b": drill("b")}
    assert day_s(day(put("a"), put("b")), drills) == 120 + CHANGE_S + 120
    assert day_s(day(), drills) == 0


def test_stations_part_the_group():
    drills = {"a": drill("a"), "b": drill("b")}
    six = tuple(f"w{n}" for n in range(6))
    plan = day(put("a"), put("b"), athletes=six)
    one_after_the_other = day_s(plan, drills)
    side_by_side = day_s(replace(plan, stations=2), drills)
    # one station: 6 in turn, 180 s a set; two: 3 in turn, 90 s a set, and both drills done twice over
    assert one_after_the_other == 2 * (180 + 180) + CHANGE_S
    assert side_by_side == 2 * (90 + 90) + CHANGE_S


@given(
    st.integers(1, 6), st.integers(1, 10), st.integers(0, 300), st.integers(1, 20), st.sampled_from(RestAfter)
)
def test_more_of_anything_never_takes_less_time(sets, reps, rest, turn, after):
    one, runs = put(sets=sets, reps=reps, rest_s=rest), drill(rest_after=after)
    least = drill_s(one, runs, turn)
    assert least >= sets * reps * runs.rep_s
    for more in (replace(one, sets=sets + 1), replace(one, reps=reps + 1), replace(one, rest_s=rest + 1)):
        assert drill_s(more, runs, turn) >= least
    assert drill_s(one, runs, turn + 1) >= least


def test_a_missing_drill_is_said():
    with pytest.raises(ValueError, match="not in the library"):
        day_s(day(put("gone")), {})
