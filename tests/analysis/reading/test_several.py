"""Several runs of several days in one table: means by hand, verdicts as ``compare`` gives them."""

from __future__ import annotations

import math

import pytest

from analysis.reading.closing import closing
from analysis.reading.compare import compare
from analysis.reading.several import runs_table
from analysis.values.comparison import Change
from analysis.values.estimate import NoValue
from tests.analysis.reading.compared_runs import KEY, day, reading

FIRST, SECOND, THIRD = "2031-05-01", "2031-06-01", "2031-07-01"
TWO_DAYS = [*day([0.90, 0.91, 0.92], SECOND), *day([0.60, 0.61, 0.59], FIRST)]


def row_of(table):
    return next(row for row in table.rows if row.key == KEY)


def test_runs_stand_in_order_of_their_days_with_a_mean_for_each():
    table = runs_table(TWO_DAYS)
    row = row_of(table)
    assert [(one.day, one.runs) for one in table.days] == [
        (FIRST, tuple(TWO_DAYS[3:])),
        (SECOND, tuple(TWO_DAYS[:3])),
    ]
    assert [number.value for number in row.numbers] == [0.60, 0.61, 0.59, 0.90, 0.91, 0.92]
    assert [mean.value for mean in row.means] == pytest.approx([0.60, 0.91])
    # a mean of three runs, each read to 0.01
    assert [mean.u for mean in row.means] == pytest.approx([0.01 / math.sqrt(3)] * 2)


def test_the_last_day_is_held_against_the_first_one():
    row = row_of(runs_table(TWO_DAYS))
    assert row.compared == compare(TWO_DAYS[3:], TWO_DAYS[:3]).row(KEY)
    assert row.compared.change is Change.HIGHER
    assert row.compared.difference.value == pytest.approx(0.31)


def test_days_between_them_serve_as_the_athletes_other_days():
    """Three days: t(.975, 1) = 12.706 (any table) on one degree of freedom, from the two that come before the
    last one.
    """
    table = runs_table([*TWO_DAYS, *day([0.70, 0.71], THIRD)])
    row = row_of(table)
    assert row.compared.rests_on == "spread between 3 days"
    spread = (0.91 - 0.60) / math.sqrt(2)
    assert row.compared.least == pytest.approx(12.706 * spread * math.sqrt(2), rel=1e-3)
    assert row.compared.change is None


def test_of_one_day_no_change_is_asked():
    table = runs_table(TWO_DAYS[:3])
    assert table.comparison is None
    assert row_of(table).compared is None
    assert "All of one day" in table.notes[0]


def test_reps_of_a_day_stand_in_their_order():
    runs = [reading(0.6 + n / 100, rep=n, run=f"r{9 - n}") for n in (3, 1, 2)]
    assert [run.about.conditions.rep for run in runs_table(runs).runs] == [1, 2, 3]


def test_runs_without_a_day_come_last_and_are_in_no_comparison():
    table = runs_table([reading(0.1, day="", run="x"), *TWO_DAYS])
    assert [one.day for one in table.days] == [FIRST, SECOND, ""]
    assert row_of(table).compared == row_of(runs_table(TWO_DAYS)).compared
    assert "Nobody said" in runs_table([reading(0.1, day="")]).notes[0]


def test_what_comes_after_are_the_runs_of_the_last_known_day():
    table = runs_table([reading(0.1, day="", run="x"), *TWO_DAYS])
    assert table.after == tuple(TWO_DAYS[:3])
    assert table.runs[-1].about.run_id == "x"
    assert runs_table([reading(0.1, day="")]).after == ()


def test_a_run_without_a_measure_leaves_its_place_empty():
    table = runs_table([*TWO_DAYS, reading(None, day=SECOND, run="z")])
    row = row_of(table)
    assert isinstance(row.numbers[-1], NoValue)
    assert row.means[1].value == pytest.approx(0.91)


def test_over_runs_of_two_athletes_no_mean_is_made_and_it_is_said():
    one_day = [*day([0.60, 0.61], FIRST), *day([0.90], FIRST, athlete="b")]
    table = runs_table(one_day)
    (mean,) = row_of(table).means
    assert isinstance(mean, NoValue)
    assert mean.reason == "The runs of 2031-05-01 are of 2 athletes: no mean is made over them."
    assert table.notes == (mean.reason,)
    unsaid = runs_table([*day([0.60, 0.61], FIRST), reading(0.7, day=FIRST, run="x", athlete=None)])
    assert "whose they are" in unsaid.notes[0]


def test_days_of_two_athletes_each_are_not_compared():
    others = [*day([0.70, 0.71], FIRST, athlete="b"), *day([0.70, 0.71], SECOND, athlete="b")]
    table = runs_table([*TWO_DAYS, *others])
    assert table.comparison is None
    assert len([note for note in table.notes if "2 athletes" in note]) == 2
    assert "Choose runs of one athlete" in table.notes[-1]


def test_of_two_athletes_a_day_each_the_reason_is_not_that_runs_are_few():
    table = runs_table([*day([0.60, 0.61], FIRST), *day([0.90], SECOND, athlete="b")])
    end = closing(table.comparison, table.after)
    assert "of two athletes" in end.changed
    assert "so few runs" not in end.changed
    assert not any("one run on a side" in note for note in table.notes)
    assert end.next.startswith("Next: the runs are not all one athlete's.")
    mine = runs_table([*day([0.60], FIRST), *day([0.90], SECOND)])
    assert "so few runs" in closing(mine.comparison, mine.after).changed


def test_of_two_athletes_nobody_changed():
    table = runs_table([*TWO_DAYS[3:], *day([0.90, 0.91, 0.92], SECOND, athlete="b")])
    assert row_of(table).compared.change is None
    assert any("two athletes" in note for note in table.notes)
