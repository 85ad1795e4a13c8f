"""The drills that come with the program are whole and careful."""

from __future__ import annotations

import pytest

from analysis.plan.library import COMMON_PRACTICE, all_drills, common_drills, drill_of
from analysis.plan.wording import dose_words
from analysis.values.drill import Block, Part
from analysis.values.errors import PlanError
from analysis.values.questions import Question
from tests.analysis.plan.plans import drill

DRILLS = tuple(common_drills().values())


def test_there_are_some_thirty():
    assert 30 <= len(DRILLS) <= 40


@pytest.mark.parametrize("one", DRILLS, ids=lambda d: d.id)
def test_each_says_all_that_a_coach_asks(one):
    said = (one.purpose, one.set_up, one.easier, one.harder, one.defer, *one.look_for, *one.faults)
    assert all(
        words.strip() and words.rstrip().endswith((".", *"abcdefghijklmnopqrstuvwxyz")) for words in said
    )
    assert one.look_for
    assert one.faults
    assert one.questions
    assert one.parts
    assert one.dose.source == COMMON_PRACTICE
    assert not one.own


@pytest.mark.parametrize("question", Question)
def test_each_question_is_served_in_the_targeted_block_more_than_a_proposal_needs(question):
    serving = [one for one in DRILLS if question in one.questions and Block.TARGETED in one.blocks]
    assert len(serving) >= 4


@pytest.mark.parametrize("part", Part)
def test_each_part_of_an_acceleration_is_in_several(part):
    assert sum(part in one.parts for one in DRILLS) >= 4


def test_what_is_run_flat_out_asks_for_room_and_thrown_balls_for_an_empty_landing_zone():
    for one in DRILLS:
        words = " ".join(one.cautions).lower()
        if one.sprint_m > 0:
            assert all(word in words for word in ("warm-up", "clear lane", "run-out")), one.id
        if "throw" in one.id:
            assert "empty landing zone" in words, one.id


def test_assisted_and_loaded_runs_are_for_the_experienced():
    for drill_id in ("assisted-run", "sled-light", "sled-heavy"):
        assert common_drills()[drill_id].experienced
        assert "experienced athletes" in " ".join(common_drills()[drill_id].cautions).lower()


def test_whoever_hurts_is_sent_to_a_licensed_practitioner_and_every_drill_has_something_to_mind():
    for one in DRILLS:
        assert "licensed practitioner" in one.defer, one.id
        assert one.cautions, one.id


def test_a_dose_of_one_set_is_told_as_one():
    assert dose_words(common_drills()["assisted-run"].dose).startswith("1 set of 2 to 3, rest")
    assert dose_words(common_drills()["march"].dose).startswith("1 to 2 sets of 2 to 4, rest")


def test_a_drill_of_the_coach_stands_for_the_common_one_of_its_id():
    own = drill("march")
    drills = all_drills([own, drill("new")])
    assert drills["march"] is own
    assert list(drills)[-1] == "new"
    with pytest.raises(PlanError, match="not in the library"):
        drill_of(drills, "gone")
