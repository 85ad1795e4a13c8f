"""Conditions of a run, whom bands are for, and the coach's own word in a run sheet, in and out."""

from __future__ import annotations

from typing import Any

from analysis.sheet.fields import Fields
from analysis.values.conditions import Conditions, Stance
from analysis.values.questions import Overruling, Question
from analysis.values.run import Run

_Json = dict[str, Any]


def read_conditions(part: Fields | None) -> Conditions:
    """The conditions of a sheet's run."""
    if part is None:
        return Conditions()
    return Conditions(
        day=part.text("day", ""),
        stance=part.choice("stance", Stance, None),
        load_kg=part.real("load_kg", None, unit="kg"),
        surface=part.text("surface", ""),
        shoe=part.text("shoe", ""),
        wind_m_s=part.real("wind_m_s", None, unit="m/s"),
        rep=part.whole("rep", None),
        cue=part.text("cue", ""),
    )


def read_overruling(part: Fields | None) -> Overruling | None:
    """The coach's word against the reading; ``question`` null: nothing went wrong."""
    if part is None:
        return None
    return Overruling(part.choice("question", Question, None), part.text("reason", ""))


def conditions_to_json(run: Run) -> _Json:
    """The object under ``conditions``; empty where nothing was noted."""
    noted = run.conditions
    told = {name: getattr(noted, name) for name in ("day", "surface", "shoe", "cue") if getattr(noted, name)}
    numbers = {name: getattr(noted, name) for name in ("load_kg", "wind_m_s", "rep")}
    told |= {name: value for name, value in numbers.items() if value is not None}
    return told if noted.stance is None else told | {"stance": noted.stance.value}


def overruling_to_json(run: Run) -> _Json:
    """The object under ``overruled``; empty where the coach does not overrule."""
    if run.overruled is None:
        return {}
    question = run.overruled.question
    return {"question": None if question is None else question.value, "reason": run.overruled.reason}
