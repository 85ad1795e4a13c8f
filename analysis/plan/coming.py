"""Which of the planned days is the next one."""

from __future__ import annotations

from collections.abc import Iterable

from analysis.values.day_plan import DayPlan


def next_plan(plans: Iterable[DayPlan], day: str) -> DayPlan | None:
    """The first that is planned on a day (ISO 8601) or after it and was not done yet; without a day the first
    of all that were not. None where there is none.
    """
    coming = (plan for plan in plans if plan.date >= day and not plan.all_done)
    return min(coming, key=lambda plan: (plan.date, plan.id), default=None)
