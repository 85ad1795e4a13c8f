"""A proposal serves its question, keeps to its minutes and to the ranges of its drills."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.plan.library import common_drills
from analysis.plan.proposing import WANTED, fits, propose
from analysis.plan.volume import volume
from analysis.values.drill import Block
from analysis.values.questions import Question
from tests.analysis.plan.plans import Ids, day, put

DRILLS = common_drills()


@pytest.mark.parametrize("question", Question)
def test_every_targeted_drill_serves_the_question_the_first_one_most(question):
    plan = propose(day(question=question), DRILLS, Ids())
    targeted = [DRILLS[one.drill_id] for one in plan.of_block(Block.TARGETED)]
    assert len(targeted) == WANTED[Block.TARGETED]
    assert all(question in one.questions for one in targeted)
    assert targeted[0].questions[0] is question
    assert [len(plan.of_block(block)) for block in Block] == list(WANTED.values())
    assert len({one.drill_id for one in plan.drills}) == len(plan.drills)


@pytest.mark.parametrize("question", Question)
def test_the_sprint_is_the_run_itself_and_nothing_is_for_the_experienced_only(question):
    plan = propose(day(question=question), DRILLS, Ids())
    assert plan.of_block(Block.SPRINT)[0].drill_id == "split-start"
    assert not any(DRILLS[one.drill_id].experienced for one in plan.drills)


@pytest.mark.parametrize("question", Question)
def test_what_only_experienced_athletes_should_do_is_left_to_the_coach(question):
    """What would be proposed first, and in every block, is now for the experienced only."""
    usual = {one.drill_id for one in propose(day(question=question), DRILLS, Ids()).drills}
    drills = {key: replace(one, experienced=one.experienced or key in usual) for key, one in DRILLS.items()}
    plan = propose(day(question=question), drills, Ids())
    assert plan.drills
    assert not any(drills[one.drill_id].experienced for one in plan.drills)


def test_without_a_question_nothing_is_aimed_at():
    plan = propose(day(question=None), DRILLS, Ids())
    assert not plan.of_block(Block.TARGETED)
    assert plan.of_block(Block.FOUNDATION)
    assert plan.of_block(Block.SPRINT)


def test_drills_of_the_days_before_come_last():
    first = propose(day(), DRILLS, Ids())
    second = propose(day(), DRILLS, Ids(), lately=[one.drill_id for one in first.drills])
    assert second.of_block(Block.SPRINT)[0].drill_id != first.of_block(Block.SPRINT)[0].drill_id


def test_what_stood_on_the_day_is_replaced():
    plan = propose(day(put("march", block=Block.SPRINT)), DRILLS, Ids())
    assert "of march" not in {one.id for one in plan.drills}


@given(st.sampled_from(Question), st.integers(1, 180), st.integers(1, 12), st.integers(1, 3))
def test_it_keeps_to_its_minutes_wherever_the_least_of_each_block_does(question, minutes, athletes, stations):
    ids = tuple(map(str, range(athletes)))
    plan = propose(day(question=question, athletes=ids, minutes=minutes, stations=stations), DRILLS, Ids())
    least = propose(replace(plan, minutes=0.0), DRILLS, Ids())
    assert fits(plan, DRILLS) or not fits(replace(least, minutes=minutes), DRILLS)
    assert all(plan.of_block(block) for block in Block)
    for one in plan.drills:
        dose = DRILLS[one.drill_id].dose
        assert dose.sets.holds(one.sets)
        assert dose.reps.holds(one.reps)
        assert dose.rest_s.holds(one.rest_s)


def test_more_time_is_used_for_more_repetitions_of_what_serves_the_question():
    short, long = (propose(day(minutes=minutes), DRILLS, Ids()) for minutes in (12, 60))
    reps = [sum(one.sets * one.reps for one in plan.of_block(Block.TARGETED)) for plan in (short, long)]
    assert reps[0] < reps[1]


@pytest.mark.parametrize("question", Question)
def test_with_many_athletes_quicker_drills_take_the_places_of_slow_ones(question):
    """Twenty by turns in 30 min: what ranks first takes up to 52 min of them even at its least."""
    many = day(question=question, athletes=tuple(f"w{n}" for n in range(20)), minutes=30.0, stations=2)
    plan = propose(many, DRILLS, Ids())
    assert fits(plan, DRILLS)
    assert [one.block for one in plan.drills] == list(Block)
    targeted = plan.of_block(Block.TARGETED)[0]
    assert question in DRILLS[targeted.drill_id].questions


def test_flat_out_metres_are_raised_only_as_far_as_is_no_jump():
    drills, plan = common_drills(), day(minutes=60)
    free = volume(propose(plan, drills, Ids()), drills).metres
    least = volume(propose(plan, drills, Ids(), sprint_most_m=0), drills).metres
    assert least < free
    for most_m in (least, (least + free) / 2, free):
        held = propose(plan, drills, Ids(), sprint_most_m=most_m)
        assert least <= volume(held, drills).metres <= most_m
        assert fits(held, drills)
