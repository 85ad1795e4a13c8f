"""How much a day sprints, beside the days before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from analysis.plan.library import drill_of
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Drill
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


def volume_done(plan: DayPlan, drills: Mapping[str, Drill]) -> Volume:
    """What was marked as done; where nothing was, the whole plan, since it may have been. Raises PlanError
    for a drill that is missing.
    """
    return _volume(plan.done or plan.drills, drills)


def _volume(planned: Iterable[PlannedDrill], drills: Mapping[str, Drill]) -> Volume:
    runs, metres = 0, 0.0
    for one in planned:
        each = drill_of(drills, one.drill_id).sprint_m
        if each > 0:
            runs += one.sets * one.reps
            metres += one.sets * one.reps * each
    return Volume(runs, metres)


def days_before(plan: DayPlan, athlete_id: str, plans: Iterable[DayPlan]) -> list[DayPlan]:
    """The athlete's planned days that count, oldest first; a day without a date that can be read doesn't."""
    day = _date(plan.date)
    if day is None:
        return []
    earliest = day - timedelta(days=LOOK_BACK_DAYS)
    dated = ((_date(one.date), one) for one in plans if athlete_id in one.athlete_ids and one.id != plan.id)
    return [one for when, one in sorted(_known(dated), key=lambda each: each[0]) if earliest <= when < day]


def jump_caution(
    plan: DayPlan, athlete_id: str, plans: Iterable[DayPlan], drills: Mapping[str, Drill]
) -> str:
    """A sentence where the day is a jump for the athlete, or nothing is known to hold it against; else empty.

    It says what it is: a caution, no prediction.
    """
    today = volume(plan, drills)
    if today.metres <= 0:
        return ""
    earlier = [(volume_done(one, drills).metres, one) for one in days_before(plan, athlete_id, plans)]
    most, day = max(earlier, key=lambda each: each[0], default=(0.0, None))
    if most <= 0:
        return tr(
            "No earlier sprinting is noted in the {days} days before this day, so that nobody can say here "
            "whether {metres:.0f} m is a jump. Begin with less."
        ).format(days=LOOK_BACK_DAYS, metres=today.metres)
    if today.metres > JUMP * most:
        counted = tr("as planned") if day is None or not day.done else tr("as ticked")
        return tr(
            "{metres:.0f} m flat out; the most in the {days} days before was {most:.0f} m ({counted}). Go up "
            "in smaller steps. This is a caution, not a prediction of injury."
        ).format(metres=today.metres, days=LOOK_BACK_DAYS, most=most, counted=counted)
    return ""


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _known(dated: Iterable[tuple[date | None, DayPlan]]) -> list[tuple[date, DayPlan]]:
    return [(when, one) for when, one in dated if when is not None]
