"""What a coach can do about a day that takes longer than its minutes, each way with what it comes to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from analysis.plan.lasting import day_s
from analysis.plan.proposing import fits
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Block, Drill
from analysis.values.words import listed, tr

_MOST_PARTS = 4
"""A group is not parted into more than that: so many lanes and eyes are rarely there (own)."""
_GO_FIRST = (Block.FOUNDATION, Block.SPRINT, Block.TARGETED)


def too_long_words(plan: DayPlan, drills: Mapping[str, Drill]) -> str:
    """A sentence on a day that does not keep within its minutes, and what would; empty for one that does.

    Raises PlanError for a drill that is missing.
    """
    if plan.minutes is None or fits(plan, drills):
        return ""
    said = tr("The day takes {takes} min, and {there:g} are there.").format(
        takes=whole_minutes(plan, drills), there=plan.minutes
    )
    ways = list(_ways(plan, drills))
    if not ways:
        return f"{said} " + tr("Nothing that stands on it fits. Give it more minutes or quicker drills.")
    return f"{said} " + tr("What fits: {ways}.").format(ways="; ".join(ways))


def whole_minutes(plan: DayPlan, drills: Mapping[str, Drill]) -> int:
    """How long a day takes, in minutes, rounded up."""
    return math.ceil(day_s(plan, drills) / 60 - 1e-9)


def _ways(plan: DayPlan, drills: Mapping[str, Drill]) -> Iterator[str]:
    yield from _more_stations(plan, drills)
    yield from _in_parts(plan, drills)
    yield from _without_drills(plan, drills)


def _more_stations(plan: DayPlan, drills: Mapping[str, Drill]) -> Iterator[str]:
    most = min(len(plan.athlete_ids), max(len(plan.of_block(block)) for block in Block))
    for stations in range(plan.stations + 1, most + 1):
        day = replace(plan, stations=stations)
        if fits(day, drills):
            words = tr("{stations} stations, {minutes} min")
            yield words.format(stations=stations, minutes=whole_minutes(day, drills))
            return


def _in_parts(plan: DayPlan, drills: Mapping[str, Drill]) -> Iterator[str]:
    """The group parted, all parts at work at once; the fewest parts that fit."""
    athletes = len(plan.athlete_ids)
    for parts in range(2, min(athletes, _MOST_PARTS) + 1):
        each = math.ceil(athletes / parts)
        day = replace(plan, athlete_ids=plan.athlete_ids[:each])
        if fits(day, drills):
            words = tr("{parts} groups of at most {each} on lanes of their own, {minutes} min")
            yield words.format(parts=parts, each=each, minutes=whole_minutes(day, drills))
            return


def _without_drills(plan: DayPlan, drills: Mapping[str, Drill]) -> Iterator[str]:
    """Drills taken out, each time the one of its block that saves most, those that serve the day's question
    last; one at least stays.
    """
    out: list[str] = []
    day = plan
    while len(day.drills) > 1 and not fits(day, drills):
        block = next(block for block in _GO_FIRST if day.of_block(block))
        gone = min(day.of_block(block), key=lambda one: day_s(day.without(one.id), drills))
        day = day.without(gone.id)
        out.append(f"“{drills[gone.drill_id].name}”")
    if out and fits(day, drills):
        words = tr("without {drills}, {minutes} min")
        yield words.format(drills=listed(out), minutes=whole_minutes(day, drills))
