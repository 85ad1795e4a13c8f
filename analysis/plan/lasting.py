"""How long drills of a day take, for one athlete or for several who take turns."""

from __future__ import annotations

import math
from collections.abc import Mapping

from analysis.plan.library import drill_of
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Drill, RestAfter

CHANGE_S = 120.0
"""From one drill to the next: walking, setting up, saying what is wanted (own assumption)."""


def drill_s(planned: PlannedDrill, drill: Drill, in_turn: int = 1) -> float:
    """Seconds from the first repetition of the first athlete to the last of the last.

    ``in_turn``: athletes at it, one after the other; their turns are rest for the others, and where these
    take longer than the rest that is wanted, everybody waits.
    """
    if drill.dose.rest_after is RestAfter.REP:
        round_s, rounds = drill.rep_s, planned.sets * planned.reps
    else:
        round_s, rounds = drill.rep_s * planned.reps, planned.sets
    cycle = max(round_s + planned.rest_s, round_s * in_turn)
    return (rounds - 1) * cycle + round_s * in_turn


def day_s(plan: DayPlan, drills: Mapping[str, Drill]) -> float:
    """Seconds of a day's drills, changes between them included, warm-up not; 0 for a day without drills.

    With more than one station a block's drills run side by side: the group is parted, each part does each
    drill, and all change when the slowest station is through. Raises PlanError for a drill that is missing.
    """
    total, changes = 0.0, 0
    for block in Block:
        planned = plan.of_block(block)
        stations = min(plan.stations, len(planned), max(1, len(plan.athlete_ids)))
        if not planned:
            continue
        in_turn = math.ceil(max(1, len(plan.athlete_ids)) / stations)
        times = [drill_s(one, drill_of(drills, one.drill_id), in_turn) for one in planned]
        for first in range(0, len(times), stations):
            side_by_side = times[first : first + stations]
            total += max(side_by_side) * len(side_by_side)
            changes += len(side_by_side)
    return total + max(0, changes - 1) * CHANGE_S
