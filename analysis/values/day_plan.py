"""A day that is planned: its question, and the drills of its three blocks with how much of each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from analysis.values.drill import Block
from analysis.values.questions import Question


@dataclass(frozen=True)
class Done:
    """That a planned drill was done. ``at``: day and time on the clock there, ISO 8601 to the minute.
    ``left_out``: ids of athletes of the day who did not do it.
    """

    at: str
    note: str = ""
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlannedDrill:
    """A drill on a day. ``load`` and ``cue`` in words; ``loads``: (athlete id, words) where it differs.

    ``done``: None until the coach says so.
    """

    id: str
    drill_id: str
    block: Block
    sets: int
    reps: int
    rest_s: float
    load: str = ""
    cue: str = ""
    loads: tuple[tuple[str, str], ...] = ()
    done: Done | None = None


@dataclass(frozen=True)
class DayPlan:
    """What one athlete or a group does on one day.

    ``date``: ISO 8601. ``question``: what the day works on; None where it works on none. ``minutes``: how
    long it may take; None where nobody said. ``stations``: how many drills run side by side in a group.
    """

    id: str
    date: str
    athlete_ids: tuple[str, ...]
    question: Question | None
    drills: tuple[PlannedDrill, ...] = ()
    minutes: float | None = None
    stations: int = 1
    notes: str = ""

    def of_block(self, block: Block) -> tuple[PlannedDrill, ...]:
        """The drills of one block, in their order."""
        return tuple(one for one in self.drills if one.block is block)

    @property
    def done(self) -> tuple[PlannedDrill, ...]:
        """The drills that were marked as done."""
        return tuple(one for one in self.drills if one.done is not None)

    def done_by(self, athlete_id: str) -> DayPlan:
        """The day as one of its athletes did it: what they left out is not done."""
        return replace(
            self,
            drills=tuple(
                replace(one, done=None) if one.done is not None and athlete_id in one.done.left_out else one
                for one in self.drills
            ),
        )

    @property
    def all_done(self) -> bool:
        """Whether every drill was; an empty day never is."""
        return bool(self.drills) and len(self.done) == len(self.drills)

    def with_drill(self, drill: PlannedDrill, place: int | None = None) -> DayPlan:
        """With ``drill`` in the place it had, or at ``place`` within its block, or at that block's end."""
        held = next((one for one in self.drills if one.id == drill.id), None)
        if held is not None and held.block is drill.block and place is None:
            return replace(self, drills=tuple(drill if one.id == drill.id else one for one in self.drills))
        rest = self.without(drill.id)
        mates = list(rest.of_block(drill.block))
        mates.insert(len(mates) if place is None else place, drill)
        blocks = {block: list(rest.of_block(block)) for block in Block} | {drill.block: mates}
        return replace(self, drills=tuple(one for block in Block for one in blocks[block]))

    def without(self, drill_id: str) -> DayPlan:
        """Without the planned drill of that id."""
        return replace(self, drills=tuple(one for one in self.drills if one.id != drill_id))
