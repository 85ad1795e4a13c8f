"""Rows of films of drills, and back, exactly."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from analysis.store.cells import Row, json_object
from analysis.store.rows import PtsOf
from analysis.values.drill_film import DrillEvent, DrillFilm, DrillKind, DrillRep
from analysis.values.film import FrameNumber


def drill_film_row(film: DrillFilm, pts_of: PtsOf) -> Row:
    """The row of a film of a drill. Each frame stands with its presentation time, where that is known."""
    reps = [_rep(rep, pts_of) for rep in film.reps]
    content = {"drill_id": film.drill_id, "kind": film.kind, "reps": reps}
    words = json.dumps(content, ensure_ascii=False, sort_keys=True)
    return {"id": film.id, "run_id": film.run_id, "day_id": film.day_id, "content": words}


def drill_film_of(row: Mapping[str, Any]) -> DrillFilm:
    """The film of a drill that a row holds. Raises ValueError or KeyError where it holds none."""
    held = json_object(row["content"])
    reps = tuple(map(_rep_of, held["reps"]))
    return DrillFilm(
        row["id"], row["run_id"], row["day_id"], str(held["drill_id"]), DrillKind(held["kind"]), reps
    )


def _rep(rep: DrillRep, pts_of: PtsOf) -> dict[str, Any]:
    return {
        "id": rep.id,
        "first": _frame(rep.first, pts_of),
        "last": _frame(rep.last, pts_of),
        "set": rep.set_number,
        "number": rep.number,
        "cue": rep.cue,
        "events": [[event, *_frame(frame, pts_of)] for event, frame in rep.events],
    }


def _frame(number: FrameNumber, pts_of: PtsOf) -> list[int | None]:
    return [int(number), pts_of(number)]


def _rep_of(held: Mapping[str, Any]) -> DrillRep:
    return DrillRep(
        str(held["id"]),
        FrameNumber(int(held["first"][0])),
        FrameNumber(int(held["last"][0])),
        int(held["set"]),
        int(held["number"]),
        str(held["cue"]),
        tuple((DrillEvent(event), FrameNumber(int(frame))) for event, frame, _ in held["events"]),
    )
