"""From what a run showed to a day: blocks filled with drills that serve its question."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from analysis.plan.lasting import day_s
from analysis.plan.volume import volume
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Drill
from analysis.values.questions import Question

WANTED: Mapping[Block, int] = {Block.FOUNDATION: 2, Block.TARGETED: 2, Block.SPRINT: 1}
"""How many drills a proposal holds where there is time (own)."""

_KEPT_LONGEST = (Block.FOUNDATION, Block.TARGETED)
"""Where drills are taken away when the time is short, first to last; each block keeps one."""


def planned(drill: Drill, block: Block, new_id: str) -> PlannedDrill:
    """``drill`` with the least of its dose, for a start."""
    dose = drill.dose
    return PlannedDrill(
        new_id, drill.id, block, round(dose.sets.least), round(dose.reps.least), dose.rest_s.least, dose.load
    )


def propose(
    plan: DayPlan,
    drills: Mapping[str, Drill],
    new_id: Callable[[], str],
    lately: Iterable[str] = (),
    sprint_most_m: float = math.inf,
) -> DayPlan:
    """The day with its blocks filled anew for its question; drills of ``lately`` (ids) come last.

    Doses start at the least and are raised, targeted drills first, towards the middle of their ranges while
    the day keeps within its minutes, and drills run flat out while it keeps within ``sprint_most_m``
    (``Sprinting.without_jump_m``); where even the least is too long, drills go until one of each block is
    left, and then quicker ones take their places: with many athletes long turns take long. Without a
    question the foundation and the sprint stand alone: nothing is guessed. What only experienced athletes
    should do is left to the coach.
    """
    stale = frozenset(lately)
    filled = replace(plan, drills=())
    taken: set[str] = set()
    for block, count in WANTED.items():
        if block is Block.TARGETED and plan.question is None:
            continue
        for drill in _choice(drills.values(), block, plan.question, stale, taken)[:count]:
            taken.add(drill.id)
            filled = filled.with_drill(planned(drill, block, new_id()))
    return _raised(_quickened(_shortened(filled, drills), drills, stale), drills, sprint_most_m)


def fits(plan: DayPlan, drills: Mapping[str, Drill]) -> bool:
    """Whether the day keeps within its minutes; true where none are stated."""
    return plan.minutes is None or day_s(plan, drills) <= plan.minutes * 60


def _choice(
    drills: Iterable[Drill], block: Block, question: Question | None, stale: frozenset[str], taken: set[str]
) -> list[Drill]:
    def rank(drill: Drill) -> tuple[int, bool]:
        if question not in drill.questions:
            return len(Question), drill.id in stale
        return drill.questions.index(question) if block is Block.TARGETED else 0, drill.id in stale

    fitting = [d for d in drills if block in d.blocks and d.id not in taken and not d.experienced]
    if block is Block.TARGETED:
        fitting = [one for one in fitting if question in one.questions]
    return sorted(fitting, key=rank)


def _shortened(plan: DayPlan, drills: Mapping[str, Drill]) -> DayPlan:
    for block in _KEPT_LONGEST:
        while not fits(plan, drills) and len(plan.of_block(block)) > 1:
            plan = plan.without(plan.of_block(block)[-1].id)
    return plan


def _quickened(plan: DayPlan, drills: Mapping[str, Drill], stale: frozenset[str]) -> DayPlan:
    """The day with the first drills in their ranks with which it is not too long; else with the quickest."""
    for block in (Block.FOUNDATION, Block.SPRINT, Block.TARGETED):
        for one in plan.of_block(block):
            if fits(plan, drills):
                return plan
            taken = {other.drill_id for other in plan.drills}
            choice = _choice(drills.values(), block, plan.question, stale, taken)
            others = [plan.with_drill(planned(drill, block, one.id)) for drill in choice]
            fitting = next((other for other in others if fits(other, drills)), None)
            plan = fitting or min([plan, *others], key=lambda day: day_s(day, drills))
    return plan


def _raised(plan: DayPlan, drills: Mapping[str, Drill], sprint_most_m: float) -> DayPlan:
    if plan.minutes is None:
        return plan
    for block in (Block.TARGETED, Block.SPRINT, Block.FOUNDATION):
        for one in plan.of_block(block):
            plan = _raised_drill(plan, one, drills, sprint_most_m)
    return plan


def _raised_drill(
    plan: DayPlan, one: PlannedDrill, drills: Mapping[str, Drill], sprint_most_m: float
) -> DayPlan:
    drill = drills[one.drill_id]
    dose = drill.dose
    for reps in range(one.reps, int(dose.reps.middle) + 1):
        for sets in range(one.sets, int(dose.sets.middle) + 1):
            more = plan.with_drill(replace(one, reps=reps, sets=sets))
            too_far = drill.sprint_m > 0 and volume(more, drills).metres > sprint_most_m
            if too_far or not fits(more, drills):
                break
            plan = more
    return plan
