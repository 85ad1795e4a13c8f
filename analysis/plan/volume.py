"""How much a day sprints, beside the days before it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
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


@dataclass(frozen=True)
class _Known:
    """Of an athlete, about a day: ``most`` of an earlier day that counts, metres planned ``beside`` the plan
    on the day itself and ``filmed`` on it.
    """

    most: _Sprinted
    beside: float
    filmed: float


@dataclass(frozen=True)
class Sprinting:
    """All that is known of sprinting in a project: its days, its runs and the drills of both. Its methods
    raise PlanError where a drill is missing.
    """

    plans: Collection[DayPlan]
    runs: Collection[Run]
    drills: Mapping[str, Drill]

    def jump_caution(self, plan: DayPlan, athlete_id: str) -> str:
        """A sentence where the day is a jump for the athlete, or nothing is known to hold it against; else
        empty. A filmed sprint counts as far as it is read. It says what it is: a caution, no prediction.
        """
        planned = volume(plan, self.drills).metres
        if planned <= 0:
            return ""
        known = self._known(plan, athlete_id)
        today, most = max(planned + known.beside, known.filmed), known.most
        if most.metres <= 0:
            return tr(
                "No earlier sprinting is noted in the {days} days before this day, so that nobody can say "
                "here whether {metres:.0f} m is a jump. Begin with less."
            ).format(days=LOOK_BACK_DAYS, metres=today)
        if today <= JUMP * most.metres:
            return ""
        beside = tr(", all of this day together") if today > planned else ""
        return tr(
            "{metres:.0f} m flat out{beside}; the most in the {days} days before was {most:.0f} m "
            "({counted}). Go up in smaller steps. This is a caution, not a prediction of injury."
        ).format(metres=today, beside=beside, days=LOOK_BACK_DAYS, most=most.metres, counted=most.counted)

    def without_jump_m(self, plan: DayPlan) -> float:
        """Metres that the day may hold flat out before it is a jump for one of its athletes; 0 where nothing
        is known of one of them, infinite without athletes.
        """
        known = [self._known(plan, one) for one in plan.athlete_ids]
        return max(0.0, min((JUMP * one.most.metres - one.beside for one in known), default=math.inf))

    def _known(self, plan: DayPlan, athlete_id: str) -> _Known:
        """What was planned or was filmed, whichever is more, since the runs that are filmed may be those of
        the plan. A day without a date that can be read does not count.
        """
        day = _date(plan.date)
        if day is None:
            return _Known(_Sprinted(0.0, ""), 0.0, 0.0)
        planned, ticked = self._planned(plan, athlete_id)
        filmed = self._filmed(athlete_id)
        sprinted = [
            (when, _Sprinted(metres, tr("as ticked") if when in ticked else tr("as planned")))
            for when, metres in planned.items()
        ]
        sprinted += [(when, _Sprinted(metres, tr("as filmed"))) for when, metres in filmed.items()]
        begin = day - timedelta(days=LOOK_BACK_DAYS)
        before = [one for when, one in sprinted if begin <= when < day]
        most = max(before, key=lambda one: one.metres, default=_Sprinted(0.0, ""))
        return _Known(most, planned.get(day, 0.0), filmed.get(day, 0.0))

    def _planned(self, but: DayPlan, athlete_id: str) -> tuple[dict[date, float], set[date]]:
        """Metres of all other plans by date, and the dates of which something was ticked."""
        found: dict[date, float] = {}
        ticked = set()
        for one in self.plans:
            when = _date(one.date)
            if when is not None and athlete_id in one.athlete_ids and one.id != but.id:
                found[when] = found.get(when, 0.0) + volume_done(one, self.drills, athlete_id).metres
                ticked |= {when} if one.done else set()
        return found, ticked

    def _filmed(self, athlete_id: str) -> dict[date, float]:
        found: dict[date, float] = {}
        for run in self.runs:
            when = _date(run.conditions.day)
            if when is not None and run.athlete_id == athlete_id and run.retags is None and not run.of_drill:
                found[when] = found.get(when, 0.0) + max(run.report_at_m, default=0.0)
        return found


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
