"""What a coach is told of a day that takes too long: only what fits, with the minutes that it comes to."""

from __future__ import annotations

from dataclasses import replace

from analysis.plan.fitting import too_long_words
from analysis.plan.lasting import day_s
from analysis.plan.library import common_drills
from analysis.plan.proposing import propose
from analysis.values.day_plan import PlannedDrill
from analysis.values.drill import Block
from analysis.values.questions import Question
from tests.analysis.plan.plans import Ids, day, drill

DRILLS = {one.id: one for one in (drill("base", rep_s=10.0), drill("aim", rep_s=20.0), drill("run", rep_s=5))}
BASE = PlannedDrill("1", "base", Block.FOUNDATION, 2, 3, 60.0)
AIM = PlannedDrill("2", "aim", Block.TARGETED, 2, 3, 60.0)
RUN = PlannedDrill("3", "run", Block.SPRINT, 2, 1, 60.0)


def planned(minutes, athletes=1, drills=(BASE, AIM, RUN), stations=1):
    ids = tuple(f"w{n}" for n in range(athletes))
    return replace(day(athletes=ids, minutes=minutes, stations=stations), drills=drills)


def test_a_day_that_fits_or_has_no_minutes_says_nothing():
    assert too_long_words(planned(60.0), DRILLS) == ""
    assert too_long_words(planned(None), DRILLS) == ""


def test_the_foundation_goes_first_and_the_minutes_are_said():
    """By hand: 30 + 60 + 30 s, 60 + 60 + 60 s, 5 + 60 + 5 s, and two changes of 120 s: 610 s. Without the
    foundation 370 s, without the sprint too 180 s.
    """
    assert day_s(planned(1.0), DRILLS) == 610.0
    said = too_long_words(planned(8.0), DRILLS)
    assert said == "The day takes 11 min, and 8 are there. What fits: without “Drill base”, 7 min."
    said = too_long_words(planned(4.0), DRILLS)
    assert said.endswith("without “Drill base” and “Drill run”, 3 min.")


def test_a_group_is_told_of_parts():
    """Twelve by turns: 2 rounds of 12 x 30 s and of 12 x 60 s; of the sprint run and rest, 65 s, outlast the
    first round of 12 x 5 s; then the changes.
    """
    twelve = planned(24.0, athletes=12)
    assert day_s(twelve, DRILLS) == 720 + 1440 + (65 + 60) + 240
    said = too_long_words(twelve, DRILLS)
    assert said.startswith("The day takes 43 min, and 24 are there.")
    assert "2 groups of at most 6 on lanes of their own, 24 min" in said


def test_a_station_is_offered_where_it_shortens_the_day():
    two = (replace(AIM, id="2a"), replace(AIM, id="2b"))
    eight = planned(30.0, athletes=8, drills=two)
    other = replace(eight, stations=2)
    assert day_s(other, DRILLS) < 30 * 60 < day_s(eight, DRILLS)
    assert "2 stations, " in too_long_words(eight, DRILLS)


def test_where_nothing_fits_it_asks_for_minutes_or_other_drills():
    assert too_long_words(planned(1.0), DRILLS).endswith("Give it more minutes or quicker drills.")


def test_a_large_group_of_the_common_drills_is_told_what_to_do():
    common = common_drills()
    for athletes, minutes in ((24, 30.0), (16, 20.0)):
        ids = tuple(f"w{n}" for n in range(athletes))
        wished = day(question=Question.SWAP, athletes=ids, minutes=minutes, stations=2)
        plan = propose(wished, common, Ids())
        said = too_long_words(plan, common)
        assert f"and {minutes:g} are there" in said
        assert f"2 groups of at most {athletes // 2} on lanes of their own" in said
        assert "without " in said
