"""Whose run a reading is of, and under which conditions it was made."""

from __future__ import annotations

from dataclasses import dataclass, field

from analysis.values.conditions import Conditions
from analysis.values.run import GroundMark, Run, Side


@dataclass(frozen=True)
class About:
    """What a comparison must know of a run beside its numbers. ``marks``: by which it was read."""

    run_id: str = ""
    athlete_id: str | None = None
    conditions: Conditions = field(default_factory=Conditions)
    front_side: Side | None = None
    marks: tuple[GroundMark, ...] = ()


def about(run: Run) -> About:
    """What is known of a run."""
    return About(run.id, run.athlete_id, run.conditions, run.start.front_side, run.marks)
