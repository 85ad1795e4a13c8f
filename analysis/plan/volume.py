"""How much a day sprints, beside the days before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from analysis.plan.library import drill_of
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Drill
from analysis.values.run import Run
from analysis.values.words import tr

LOOK_BACK_DAYS = 28
"""Earlier days that count (own)."""

JUMP = 1.5
"""A day of more metres than so many times the largest of those days is called a jump (own, no source)."""


@dataclass(frozen=True)
class Volume:
    """What an athlete sprints on a day: ``runs`` flat out, ``metres`` of them together."""

    runs: int
    metres: float


def volume(plan: DayPlan, drills: Mapping[str, Drill]) -> Volume:
    """As planned, of each athlete of the day. Raises PlanError for a drill that is missing."""
    return _volume(plan.drills, drills)


def volume_done(plan: DayPlan, drills: Mapping[str, Drill], athlete_id: str) -> Volume:
    """What was marked as done, less what the athlete left out; where nothing was marked at all, the whole
    plan, since it may have been. Raises PlanError for a drill that is missing.
    """
    return _volume(plan.done_by(athlete_id).done if plan.done else plan.drills, drills)


def _volume(planned: Iterable[PlannedDrill], drills: Mapping[str, Drill]) -> Volume:
    runs, metres = 0, 0.0
    for one in planned:
        each = drill_of(drills, one.drill_id).sprint_m
        if each > 0:
            runs += one.sets * one.reps
            metres += one.sets * one.reps * each
    return Volume(runs, metres)


@dataclass(frozen=True)
class _Sprinted:
    metres: float
    counted: str


def _days_before(
    plan: DayPlan,
    athlete_id: str,
    plans: Iterable[DayPlan],
    runs: Iterable[Run],
    drills: Mapping[str, Drill],
) -> list[_Sprinted]:
    """What the athlete sprinted on each earlier day that counts: what was planned or what was filmed,
    whichever is more, since the runs that are filmed may be those of the plan. A day without a date that
    can be read does not count.
    """
    day = _date(plan.date)
    if day is None:
        return []
    found: dict[date, _Sprinted] = {}

    def count(when: date | None, metres: float, counted: str) -> None:
        if when is None or not day - timedelta(days=LOOK_BACK_DAYS) <= when < day:
            return
        if when not in found or metres > found[when].metres:
            found[when] = _Sprinted(metres, counted)

    for one in plans:
        if athlete_id in one.athlete_ids and one.id != plan.id:
            told = tr("as ticked") if one.done else tr("as planned")
            count(_date(one.date), volume_done(one, drills, athlete_id).metres, told)
    filmed: dict[str, float] = {}
    for run in runs:
        if run.athlete_id == athlete_id and run.retags is None and not run.of_drill:
            metres = max(run.report_at_m, default=0.0)
            filmed[run.conditions.day] = filmed.get(run.conditions.day, 0.0) + metres
    for text, metres in filmed.items():
        count(_date(text), metres, tr("as filmed"))
    return list(found.values())


def jump_caution(
    plan: DayPlan,
    athlete_id: str,
    plans: Iterable[DayPlan],
    runs: Iterable[Run],
    drills: Mapping[str, Drill],
) -> str:
    """A sentence where the day is a jump for the athlete, or nothing is known to hold it against; else empty.

    ``plans``, ``runs``: of the whole project; a filmed sprint counts as far as it is read. It says what it
    is: a caution, no prediction.
    """
    today = volume(plan, drills)
    if today.metres <= 0:
        return ""
    earlier = _days_before(plan, athlete_id, plans, runs, drills)
    most = max(earlier, key=lambda each: each.metres, default=_Sprinted(0.0, ""))
    if most.metres <= 0:
        return tr(
            "No earlier sprinting is noted in the {days} days before this day, so that nobody can say here "
            "whether {metres:.0f} m is a jump. Begin with less."
        ).format(days=LOOK_BACK_DAYS, metres=today.metres)
    if today.metres > JUMP * most.metres:
        return tr(
            "{metres:.0f} m flat out; the most in the {days} days before was {most:.0f} m ({counted}). Go up "
            "in smaller steps. This is a caution, not a prediction of injury."
        ).format(metres=today.metres, days=LOOK_BACK_DAYS, most=most.metres, counted=most.counted)
    return ""


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
