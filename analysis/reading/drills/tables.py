"""Films of drills as plain JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from analysis.ground.carried import result
from analysis.reading.cells import number_to_json
from analysis.reading.drills.rep import DrillReading, RepReading
from analysis.reading.drills.sets import SetTable, Told, across_sets, best_rep, sets_of, within_set
from analysis.reading.key_names import key_name
from analysis.values.comparison import MeasureKey
from analysis.values.day_plan import DayPlan
from analysis.values.estimate import NoValue


def drills_to_json(day: DayPlan, readings: Sequence[DrillReading]) -> dict[str, Any]:
    """The drills of a day: every film with its repetitions, then each drill within and across its sets."""
    drills = dict.fromkeys((reading.film.drill_id, reading.film.kind) for reading in readings)
    return {
        "day": day.id,
        "date": day.date,
        "drills": [
            _drill([r for r in readings if (r.film.drill_id, r.film.kind) == drill]) for drill in drills
        ],
    }


def _drill(readings: Sequence[DrillReading]) -> dict[str, Any]:
    film, best = readings[0].film, best_rep(readings)
    return {
        "drill": film.drill_id,
        "kind": film.kind.value,
        "films": [_film(reading) for reading in readings],
        "best": None if best is None else best.rep.id,
        "within_sets": [
            {"set": number} | _table(within_set(readings, number)) for number in sets_of(readings)
        ],
        "across_sets": _table(across_sets(readings)),
    }


def _film(reading: DrillReading) -> dict[str, Any]:
    load = reading.load
    return {
        "film": reading.film.id,
        "run": reading.film.run_id,
        "load_kg": None if load is None else load.kg,
        "load_percent": None if load is None else load.percent,
        "reps": [_rep(one) for one in reading.reps],
    }


def _rep(one: RepReading) -> dict[str, Any]:
    rep = one.rep
    return {
        "rep": rep.id,
        "set": rep.set_number,
        "number": rep.number,
        "frames": [int(rep.first), int(rep.last)],
        "cue": rep.cue,
        "events": [{"event": event.value, "frame": int(frame)} for event, frame in rep.events],
        "measures": [
            _key(key) | {"frames": list(one.frames.get(key, ()))} | {"number": number_to_json(result(n))}
            for key, n in one.numbers.items()
        ],
        "notes": list(one.notes),
    }


def _table(table: SetTable) -> dict[str, Any]:
    return {
        "columns": [{"set": number, "rep": rep or None} for number, rep in table.heads],
        "measures": [_key(key) | {"cells": list(map(_cell, row))} for key, row in table.rows.items()],
    }


def _key(key: MeasureKey) -> dict[str, Any]:
    """What names a measure; ``step`` counts the jumps of a repetition, or the steps of a run."""
    moment = None if key.moment is None else key.moment.value
    return {"measure": key.measure, "moment": moment, "step": key.step, "x_m": key.x_m, "name": key_name(key)}


def _cell(told: Told) -> dict[str, Any]:
    if isinstance(told.number, NoValue):
        return {"number": number_to_json(told.number)}
    return {
        "number": number_to_json(told.number),
        "reps": told.count,
        "difference": None if told.difference is None else number_to_json(told.difference),
        "told_apart": told.told,
        "beyond_spread": None if told.least is None else told.beyond,
    }
