"""The drills that come with the program, and those of the coach beside them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from analysis.values.drill import Block, Dose, Drill, Part, RestAfter, Span
from analysis.values.errors import PlanError
from analysis.values.questions import Question
from analysis.values.words import tr

COMMON_PRACTICE = "common practice, no source"


@cache
def common_drills() -> Mapping[str, Drill]:
    """The drills that come with the program, by id, in the order of its page."""
    text = files("analysis.plan").joinpath("drills.toml").read_text(encoding="utf-8")
    return {drill.id: drill for drill in map(_drill, tomllib.loads(text)["drill"])}


def all_drills(own: Iterable[Drill]) -> dict[str, Drill]:
    """Those that come with the program, the coach's instead where one has the id, then the coach's others."""
    return {**common_drills(), **{drill.id: drill for drill in own}}


def drill_of(drills: Mapping[str, Drill], drill_id: str) -> Drill:
    """The drill of that id. Raises PlanError where there is none."""
    try:
        return drills[drill_id]
    except KeyError as error:
        raise PlanError(
            tr("A drill of this day is not in the library any more. Take it off the day, or add it again.")
        ) from error


def _drill(row: Mapping[str, Any]) -> Drill:
    dose = Dose(
        Span(*row["sets"]),
        Span(*row["reps"]),
        Span(*row["rest_s"]),
        RestAfter(row.get("rest_after", RestAfter.SET)),
        row.get("load", ""),
        row.get("source", COMMON_PRACTICE),
    )
    return Drill(
        id=row["id"],
        name=row["name"],
        blocks=tuple(map(Block, row["blocks"])),
        questions=tuple(map(Question, row["questions"])),
        parts=tuple(map(Part, row["parts"])),
        purpose=row["purpose"],
        set_up=row["set_up"],
        dose=dose,
        rep_s=float(row["rep_s"]),
        sprint_m=float(row.get("sprint_m", 0.0)),
        look_for=tuple(row["look_for"]),
        faults=tuple(row["faults"]),
        easier=row["easier"],
        harder=row["harder"],
        cautions=tuple(row["cautions"]),
        defer=row["defer"],
        experienced=row.get("experienced", False),
    )
