"""What a day comes to, in words: how long, how much sprinting, what to mind."""

from __future__ import annotations

from analysis.plan.fitting import too_long_words
from analysis.plan.lasting import day_s
from analysis.plan.volume import Sprinting, volume
from analysis.plan.wording import ALWAYS_MIND, done_words
from analysis.values.day_plan import DayPlan
from analysis.values.errors import PlanError
from analysis.values.project import Project
from analysis.values.words import tr, tr_count
from app.marking.planning import drills_of


def sum_words(plan: DayPlan, project: Project) -> str:
    """Minutes, sprinted metres and stations of a day."""
    drills = drills_of(project)
    try:
        minutes, sprinted = day_s(plan, drills) / 60, volume(plan, drills)
    except PlanError as error:
        return str(error)
    words = tr("{minutes:.0f} min without the warm-up").format(minutes=minutes)
    if sprinted.runs:
        runs = tr_count("{count} run flat out", "{count} runs flat out", sprinted.runs)
        words += " · " + runs.format(count=sprinted.runs) + f", {sprinted.metres:.0f} m"
    if len(plan.athlete_ids) > 1 and plan.stations > 1:
        words += " · " + tr("{count} stations side by side").format(count=plan.stations)
    done = done_words(plan)
    return f"{words} · {done}" if done else words


def cautions(plan: DayPlan, project: Project) -> list[str]:
    """What a coach should mind on this day, the usual last."""
    drills = drills_of(project)
    found: list[str] = []
    try:
        if too_long := too_long_words(plan, drills):
            found.append(too_long)
        jumps: dict[str, list[str]] = {}
        known = Sprinting(project.days.values(), project.runs.values(), drills)
        for athlete_id in plan.athlete_ids:
            said = known.jump_caution(plan, athlete_id)
            if said:
                jumps.setdefault(said, []).append(project.athletes[athlete_id].code)
        found += [f"{', '.join(codes)}: {said}" for said, codes in jumps.items()]
    except PlanError:
        return [ALWAYS_MIND]
    hard = [drills[one.drill_id].name for one in plan.drills if drills[one.drill_id].experienced]
    if hard:
        found.append(tr("For experienced athletes only: {drills}.").format(drills=", ".join(hard)))
    return [*found, ALWAYS_MIND]
