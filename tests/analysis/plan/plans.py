"""Days and drills for the tests of planning."""

from __future__ import annotations

from itertools import count

from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Dose, Drill, RestAfter, Span
from analysis.values.questions import Question


def drill(
    drill_id: str = "d",
    *,
    rep_s: float = 10.0,
    rest_after: RestAfter = RestAfter.SET,
    sprint_m: float = 0.0,
    blocks: tuple[Block, ...] = (Block.TARGETED,),
    questions: tuple[Question, ...] = (Question.SWAP,),
) -> Drill:
    dose = Dose(Span(1, 3), Span(2, 6), Span(60, 120), rest_after, "", "common practice, no source")
    return Drill(
        id=drill_id,
        name=f"Drill {drill_id}",
        blocks=blocks,
        questions=questions,
        parts=(),
        purpose="",
        set_up="",
        dose=dose,
        rep_s=rep_s,
        sprint_m=sprint_m,
        look_for=(),
        faults=(),
        easier="",
        harder="",
        cautions=(),
        defer="",
    )


def put(
    drill_id: str = "d",
    sets: int = 2,
    reps: int = 3,
    rest_s: float = 60.0,
    *,
    block: Block = Block.TARGETED,
    own_id: str = "",
) -> PlannedDrill:
    return PlannedDrill(own_id or f"of {drill_id}", drill_id, block, sets, reps, rest_s)


def day(
    *drills: PlannedDrill,
    date: str = "2026-03-20",
    athletes: tuple[str, ...] = ("w7",),
    question: Question | None = Question.SWAP,
    minutes: float | None = None,
    stations: int = 1,
    day_id: str = "",
) -> DayPlan:
    return DayPlan(day_id or date, date, athletes, question, drills, minutes, stations)


class Ids:
    """New ids, one after the other."""

    def __init__(self) -> None:
        self._numbers = count(1)

    def __call__(self) -> str:
        return f"n{next(self._numbers)}"
