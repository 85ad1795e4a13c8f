"""Drafts on a run: what the coach tagged stays, what collides is left out and said, one command does it.

The frames are invented; what is expected follows from them by hand.
"""

from dataclasses import replace

import pytest

from analysis.jobs.drafted import Drafted, Proposal
from analysis.values.errors import FootfallError
from analysis.values.film import FrameNumber
from analysis.values.project import Project, apply
from analysis.values.run import BodyPoint, Direction, Footfall, Run, Side, StartPush
from app.drafts.answers import confirm, confirm_sure, drafts, first_stop, refuse, swap_sides
from app.drafts.laying import lay
from app.marking.events import EventRef
from app.marking.in_hand import is_draft
from tests.helpers.films import marked_run

FIRST = (Side.LEFT, 100, 140, 0.95)
SECOND = (Side.RIGHT, 155, 190, 0.80)
THIRD = (Side.LEFT, 205, 240, 0.92)


def drafted(*proposals, start=None, direction=Direction.RIGHT):
    made = (
        Proposal(side, FrameNumber(down), FrameNumber(off), float(down), sure)
        for side, down, off, sure in proposals
    )
    return Drafted(tuple(made), start or StartPush(), direction)


def a_run(**more):
    run = Run("run", "film", "first", FrameNumber(0), FrameNumber(299))
    return replace(run, **more)


def done(run, command):
    """The run after a command, by the project's own rules."""
    films = {"film": None}
    return apply(Project(films=films, runs={run.id: run}), command).runs[run.id]


def laid(run=None, *proposals, **more):
    run = run or a_run()
    return done(run, lay(run, drafted(*(proposals or (FIRST, SECOND, THIRD)), **more)).command)


def test_drafts_are_laid_with_how_sure_they_are_and_undone_as_one():
    run = a_run()
    made = lay(run, drafted(FIRST, SECOND, THIRD))
    after = done(run, made.command)
    assert [(f.touchdown, f.toe_off, f.confidence, f.draft) for f in after.footfalls] == [
        (100, 140, 0.95, True),
        (155, 190, 0.80, True),
        (205, 240, 0.92, True),
    ]
    assert (made.count, made.notes) == (3, ())
    assert done(after, made.command.reversed) == run


def test_what_is_tagged_stays_and_what_meets_it_is_left_out_and_said():
    tagged = Footfall("mine", Side.RIGHT, FrameNumber(150), FrameNumber(188))
    run = a_run(footfalls=(tagged,))
    made = lay(run, drafted(FIRST, SECOND, THIRD))
    after = done(run, made.command)
    assert tagged in after.footfalls
    assert [f.touchdown for f in drafts(after)] == [100, 205]
    assert "1 proposal was left out" in made.notes[0]


def test_proposals_outside_the_run_are_left_out_and_said():
    run = a_run(last_frame=FrameNumber(200))
    made = lay(run, drafted(FIRST, SECOND, THIRD))
    assert made.count == 2
    assert "outside the run" in made.notes[0]


def test_drafts_made_anew_take_the_place_of_those_before():
    after = laid()
    again = done(after, lay(after, drafted(FIRST)).command)
    assert [f.touchdown for f in again.footfalls] == [100]


def test_the_start_is_proposed_only_where_nothing_is_tagged():
    start = StartPush(FrameNumber(20), FrameNumber(50), FrameNumber(80))
    run = a_run(start=StartPush(first_movement=FrameNumber(25)))
    after = laid(run, start=start)
    assert after.start.first_movement == 25
    assert after.start.drafts == ("rear_toe_off", "front_toe_off")


def test_the_direction_is_taken_from_the_draft_while_nothing_is_tagged():
    assert laid(direction=Direction.LEFT).direction is Direction.LEFT
    run = marked_run("film")
    assert done(run, lay(run, drafted(direction=Direction.LEFT)).command).direction is Direction.RIGHT


def test_confirming_makes_a_tag_and_places_the_tip_of_the_shoe():
    run = laid()
    chosen = run.footfalls[0]
    place = BodyPoint(FrameNumber(100), "left_toe", 50.0, 60.0, 4.0)
    after = done(run, confirm(run, EventRef(chosen.id, "touchdown"), {chosen.id: place}))
    assert after.footfalls[0] == replace(chosen, draft=False, confidence=None)
    assert after.points == (place,)
    placed = replace(run, points=(replace(place, u=51.0),))
    assert done(placed, confirm(placed, EventRef(chosen.id, "touchdown"), {chosen.id: place})).points == (
        replace(place, u=51.0),
    )


def test_all_above_a_confidence_are_confirmed_at_once():
    run = laid()
    after = done(run, confirm_sure(run, 0.9, {}, 2)).footfalls
    assert [(f.draft, f.unsure_frames) for f in after] == [(False, 2), (True, None), (False, 2)]
    with pytest.raises(FootfallError, match="No draft is so sure"):
        confirm_sure(run, 0.99, {}, 2)


def test_a_draft_that_contradicts_a_tag_is_not_confirmed():
    run = laid()
    tagged = Footfall("mine", Side.RIGHT, FrameNumber(100), FrameNumber(130))
    run = replace(run, footfalls=(*run.footfalls, tagged))
    draft = next(f for f in run.footfalls if f.draft)
    with pytest.raises(FootfallError, match="Two touchdowns stand on frame 100"):
        confirm(run, EventRef(draft.id, "touchdown"), {})


def test_a_refused_draft_goes_whole():
    run = laid()
    after = done(run, refuse(run, EventRef(run.footfalls[1].id, "toe_off")))
    assert [f.touchdown for f in after.footfalls] == [100, 205]


def test_one_act_makes_all_drafts_the_other_feet_s_and_leaves_tags():
    tagged = Footfall("mine", Side.RIGHT, FrameNumber(50), FrameNumber(90))
    run = laid(a_run(footfalls=(tagged,)))
    after = done(run, swap_sides(run))
    assert [f.side for f in after.footfalls] == [Side.RIGHT, Side.RIGHT, Side.LEFT, Side.RIGHT]


def test_the_walk_goes_through_footfalls_and_then_the_start():
    start = StartPush(FrameNumber(20), None, FrameNumber(80))
    run = laid(start=start)
    first, second, _ = run.footfalls
    assert first_stop(run) == EventRef(first.id, "touchdown")
    assert first_stop(run, 100) == EventRef(second.id, "touchdown")
    assert first_stop(run, 290) == EventRef(first.id, "touchdown")
    only_start = replace(run, footfalls=())
    assert first_stop(only_start) == EventRef("", "first_movement")
    assert is_draft(only_start, EventRef("", "front_toe_off"))
    confirmed = done(run, confirm(run, EventRef("", "first_movement"), {}))
    assert confirmed.start.drafts == ("front_toe_off",)
    assert confirmed.start.front_side is Side.RIGHT
    assert not is_draft(confirmed, EventRef("", "first_movement"))
    gone = done(run, refuse(run, EventRef("", "front_toe_off")))
    assert (gone.start.front_toe_off, gone.start.drafts) == (None, ("first_movement",))
