"""Drills of a day keep their blocks in order and move within them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.values.drill import Block, Span
from analysis.values.errors import PlanError
from tests.analysis.plan.plans import day, drill, put


def ids(plan):
    return [one.drill_id for one in plan.drills]


def test_a_drill_is_put_at_the_end_of_its_block_or_where_it_is_dropped():
    plan = day(put("a", block=Block.FOUNDATION), put("s", block=Block.SPRINT))
    plan = plan.with_drill(put("t")).with_drill(put("u"))
    assert ids(plan) == ["a", "t", "u", "s"]
    assert ids(plan.with_drill(put("u"), 0)) == ["a", "u", "t", "s"]
    assert ids(plan.with_drill(replace(put("u"), block=Block.SPRINT), 0)) == ["a", "t", "u", "s"]
    assert ids(plan.with_drill(replace(put("t"), block=Block.SPRINT))) == ["a", "u", "s", "t"]


def test_a_changed_drill_keeps_its_place():
    plan = day(put("t"), put("u"))
    changed = plan.with_drill(put("t", sets=5))
    assert ids(changed) == ["t", "u"]
    assert changed.drills[0].sets == 5


@pytest.mark.parametrize(
    "wrong",
    [
        lambda d: replace(d, name=" "),
        lambda d: replace(d, blocks=()),
        lambda d: replace(d, rep_s=0.0),
        lambda d: replace(d, sprint_m=-1.0),
        lambda d: replace(d, dose=replace(d.dose, sets=Span(3, 2))),
        lambda d: replace(d, dose=replace(d.dose, reps=Span(0, 2))),
    ],
)
def test_a_drill_that_cannot_be_is_said(wrong):
    with pytest.raises(PlanError):
        wrong(drill())
