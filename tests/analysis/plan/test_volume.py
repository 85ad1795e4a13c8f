"""A jump in sprinted metres is said as a caution, and never more than that."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.plan.volume import Sprinting, Volume, volume, volume_done
from analysis.values.conditions import Conditions
from analysis.values.day_plan import Done
from analysis.values.film import FrameNumber
from analysis.values.run import Run
from tests.analysis.plan.plans import day, drill, put

DRILLS = {"run": drill("run", sprint_m=10.0), "hop": drill("hop")}


def jump_caution(plan, athlete_id, plans, filmed, drills):
    return Sprinting(plans, filmed, drills).jump_caution(plan, athlete_id)


def runs(count, date):
    return day(put("run", sets=1, reps=count), date=date)


def test_only_what_is_run_flat_out_counts():
    assert volume(day(put("run", sets=2, reps=3), put("hop")), DRILLS) == Volume(6, 60.0)


def test_half_as_much_again_is_no_jump_yet_and_a_run_more_is():
    before = [runs(10, "2026-03-10"), runs(4, "2026-03-18")]
    assert jump_caution(runs(15, "2026-03-20"), "w7", before, [], DRILLS) == ""
    said = jump_caution(runs(16, "2026-03-20"), "w7", before, [], DRILLS)
    assert "160 m" in said
    assert "100 m" in said
    assert "not a prediction of injury" in said


def test_days_of_others_days_to_come_and_days_long_past_do_not_count():
    others = [
        day(put("run", sets=1, reps=50), date="2026-03-19", athletes=("w8",)),
        runs(50, "2026-03-21"),
        runs(50, "2026-02-19"),
        runs(50, "soon"),
    ]
    assert "No earlier sprinting" in jump_caution(runs(5, "2026-03-20"), "w7", others, [], DRILLS)
    assert jump_caution(runs(5, "2026-03-20"), "w7", [*others, runs(50, "2026-02-20")], [], DRILLS) == ""


def test_a_day_without_sprinting_needs_no_caution():
    assert jump_caution(day(put("hop")), "w7", [], [], DRILLS) == ""


def test_the_day_itself_is_not_held_against_itself():
    today = runs(16, "2026-03-20")
    assert "No earlier" in jump_caution(today, "w7", [today], [], DRILLS)


def test_of_a_day_of_which_something_was_ticked_only_that_counts():
    """100 m were planned, 40 m of them done: 70 m are more than half as much again; as planned not."""
    planned = day(put("run", sets=1, reps=4), put("run", sets=1, reps=6), date="2026-03-10")
    done = replace(
        planned, drills=(replace(planned.drills[0], done=Done("2026-03-10T10:00")), planned.drills[1])
    )
    today = runs(7, "2026-03-20")
    assert jump_caution(today, "w7", [planned], [], DRILLS) == ""
    said = jump_caution(today, "w7", [done], [], DRILLS)
    assert "was 40 m (as ticked)" in said
    assert "was 100 m (as planned)" in jump_caution(runs(16, "2026-03-20"), "w7", [planned], [], DRILLS)


def test_what_an_athlete_left_out_does_not_count_for_them_alone():
    """Forty metres done by the group, of which w9 left 20 out; left out altogether they are nothing."""
    two = replace(runs(2, "2026-03-10"), athlete_ids=("w7", "w9"))
    one, other = two.drills[0], replace(two.drills[0], id="other")
    at = "2026-03-10T10:00"
    group = replace(two, drills=(replace(one, done=Done(at)), replace(other, done=Done(at, "", ("w9",)))))
    assert [volume_done(group, DRILLS, who).metres for who in ("w7", "w9")] == [40.0, 20.0]
    assert [len(group.done_by(who).done) for who in ("w7", "w9")] == [2, 1]
    alone = replace(two, drills=(replace(one, done=Done(at, "", ("w9",))),))
    assert [volume_done(alone, DRILLS, who).metres for who in ("w7", "w9")] == [20.0, 0.0]
    assert volume_done(two, DRILLS, "w9").metres == 20.0  # nothing was ticked: it may have been


def filmed(day, athlete="w7", **more):
    return Run(
        f"{day}{athlete}",
        "film",
        "a run",
        FrameNumber(0),
        FrameNumber(99),
        athlete_id=athlete,
        conditions=Conditions(day=day),
        **more,
    )


def test_filmed_sprints_count_as_far_as_they_are_read():
    """Two runs read to 10 m: 20 m, so that 40 m are a jump and 30 m are none."""
    before = [filmed("2026-03-10"), filmed("2026-03-10")]
    said = jump_caution(runs(4, "2026-03-20"), "w7", [], before, DRILLS)
    assert "was 20 m (as filmed)" in said
    assert jump_caution(runs(3, "2026-03-20"), "w7", [], before, DRILLS) == ""


def test_what_is_planned_and_filmed_on_one_day_counts_once():
    planned, film = runs(2, "2026-03-10"), [filmed("2026-03-10")]
    assert "was 20 m (as planned)" in jump_caution(runs(4, "2026-03-20"), "w7", [planned], film, DRILLS)


@pytest.mark.parametrize(
    "run",
    [
        filmed("2026-03-10", athlete="w8"),
        filmed("2026-02-19"),
        filmed("2026-03-20"),
        filmed(""),
        filmed("2026-03-10", of_drill=True),
        filmed("2026-03-10", retags="another"),
    ],
)
def test_runs_of_others_of_other_days_of_drills_and_second_taggings_do_not_count(run):
    assert "No earlier" in jump_caution(runs(4, "2026-03-20"), "w7", [], [run], DRILLS)


def test_two_plans_of_one_day_count_together():
    """100 m before: 90 m in the morning and 70 m in the afternoon are 160 m, more than half as much again."""
    before, morning = runs(10, "2026-03-10"), replace(runs(9, "2026-03-20"), id="morning")
    afternoon = runs(7, "2026-03-20")
    assert jump_caution(afternoon, "w7", [before], [], DRILLS) == ""
    assert "160 m flat out, all of this day together" in jump_caution(
        afternoon, "w7", [before, morning], [], DRILLS
    )
    twice = [before, replace(before, id="again")]
    assert "was 200 m" in jump_caution(runs(31, "2026-03-20"), "w7", twice, [], DRILLS)


def test_what_was_filmed_on_the_day_counts_where_it_is_more_than_its_plan():
    before, film = [runs(2, "2026-03-10")], [filmed("2026-03-20")] * 4
    assert jump_caution(runs(3, "2026-03-20"), "w7", before, [], DRILLS) == ""
    assert "40 m flat out" in jump_caution(runs(3, "2026-03-20"), "w7", before, film, DRILLS)


def test_room_before_a_jump_is_that_of_the_athlete_with_the_least():
    plan = replace(runs(1, "2026-03-20"), athlete_ids=("w7", "w9"))
    seven, nine = runs(10, "2026-03-10"), day(put("run", sets=1, reps=2), date="2026-03-10", athletes=("w9",))
    assert Sprinting([seven, nine], [], DRILLS).without_jump_m(plan) == pytest.approx(30)
    assert Sprinting([seven], [], DRILLS).without_jump_m(plan) == 0  # nothing is known of w9
    beside = replace(runs(4, "2026-03-20"), id="morning")
    assert Sprinting([seven, beside], [], DRILLS).without_jump_m(
        replace(plan, athlete_ids=("w7",))
    ) == pytest.approx(110)
