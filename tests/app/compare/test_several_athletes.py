"""Runs of two athletes beside each other: a number for each run, and a mean of nobody nowhere."""

from analysis.reading.several import runs_table
from app.compare.lines import of_several
from app.compare.several_shown import several_shown
from tests.analysis.reading.compared_runs import KEY, day

FIRST = "2031-05-01"


def test_two_athletes_of_one_day_have_no_mean_in_the_table_and_none_in_the_chart():
    mine = runs_table(day([0.60, 0.61], FIRST))
    assert "mean of 2" in of_several(mine, str, every=True).heads[0]
    table = runs_table([*day([0.60], FIRST), *day([0.90], FIRST, athlete="b")])
    assert len(of_several(table, str, every=True).heads) == 2
    shown = several_shown(table, KEY, str)
    assert [one.mean for one in shown.days] == [None]
    assert [point.number.value for point in shown.points] == [0.60, 0.90]
