"""Rows of the coach's drills and of planned days, and back, exactly."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from analysis.store.cells import Row, finite, finite_or_none, json_object
from analysis.values.day_plan import DayPlan, Done, PlannedDrill
from analysis.values.drill import Block, Dose, Drill, Part, RestAfter, Span
from analysis.values.questions import Question

_WORDS = ("name", "purpose", "set_up", "easier", "harder", "defer")
_LISTS = ("look_for", "faults", "cautions")


def drill_row(drill: Drill) -> Row:
    """The row of a drill that the coach wrote or changed."""
    dose = drill.dose
    content = (
        {name: getattr(drill, name) for name in (*_WORDS, *_LISTS)}
        | {name: list(getattr(drill, name)) for name in ("blocks", "questions", "parts")}
        | {name: [span.least, span.most] for name, span in _spans(dose).items()}
        | {"rest_after": dose.rest_after, "load": dose.load, "source": dose.source}
        | {"rep_s": drill.rep_s, "sprint_m": drill.sprint_m, "experienced": drill.experienced}
    )
    return {"id": drill.id, "content": json.dumps(content, ensure_ascii=False, sort_keys=True)}


def drill_of(row: Mapping[str, Any]) -> Drill:
    """The drill that a row holds. Raises ValueError or KeyError where it holds none."""
    held = json_object(row["content"])
    sets, reps, rest_s = (Span(*map(finite, held[name])) for name in ("sets", "reps", "rest_s"))
    dose = Dose(sets, reps, rest_s, RestAfter(held["rest_after"]), str(held["load"]), str(held["source"]))
    plain: dict[str, Any] = {name: str(held[name]) for name in _WORDS}
    plain |= {name: tuple(map(str, held[name])) for name in _LISTS}
    return Drill(
        id=row["id"],
        blocks=tuple(map(Block, held["blocks"])),
        questions=tuple(map(Question, held["questions"])),
        parts=tuple(map(Part, held["parts"])),
        dose=dose,
        rep_s=finite(held["rep_s"]),
        sprint_m=finite(held["sprint_m"]),
        experienced=bool(held["experienced"]),
        own=True,
        **plain,
    )


def day_plan_row(plan: DayPlan) -> Row:
    """The row of a planned day, without its drills."""
    return {
        "id": plan.id,
        "date": plan.date,
        "athlete_ids": json.dumps(plan.athlete_ids, ensure_ascii=False),
        "question": plan.question,
        "minutes": plan.minutes,
        "stations": plan.stations,
        "notes": plan.notes,
    }


def planned_drill_rows(plan: DayPlan) -> list[Row]:
    """The rows of a day's drills, in their order."""
    plain = ("id", "drill_id", "block", "sets", "reps", "rest_s", "load", "cue")
    return [
        {"day_id": plan.id, "position": position}
        | {name: getattr(one, name) for name in plain}
        | {"loads": json.dumps(one.loads, ensure_ascii=False)}
        | {"done_at": None if one.done is None else one.done.at}
        | {"done_note": "" if one.done is None else one.done.note}
        | {"left_out": json.dumps(() if one.done is None else one.done.left_out, ensure_ascii=False)}
        for position, one in enumerate(plan.drills)
    ]


def day_plan_of(row: Mapping[str, Any], drills: Sequence[Mapping[str, Any]]) -> DayPlan:
    """The planned day that a row and those of its drills hold."""
    athlete_ids = tuple(map(str, json.loads(row["athlete_ids"])))
    question = None if row["question"] is None else Question(row["question"])
    minutes = finite_or_none(row["minutes"])
    held = tuple(_planned_of(one) for one in sorted(drills, key=lambda one: int(one["position"])))
    return DayPlan(
        row["id"], row["date"], athlete_ids, question, held, minutes, row["stations"], row["notes"]
    )


def _planned_of(row: Mapping[str, Any]) -> PlannedDrill:
    loads = tuple((str(athlete), str(words)) for athlete, words in json.loads(row["loads"]))
    numbers = row["sets"], row["reps"], finite(row["rest_s"])
    left_out = tuple(map(str, json.loads(row["left_out"])))
    done = None if row["done_at"] is None else Done(row["done_at"], row["done_note"], left_out)
    return PlannedDrill(
        row["id"], row["drill_id"], Block(row["block"]), *numbers, row["load"], row["cue"], loads, done
    )


def _spans(dose: Dose) -> dict[str, Span]:
    return {"sets": dose.sets, "reps": dose.reps, "rest_s": dose.rest_s}
