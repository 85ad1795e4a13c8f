"""Edits of times from gates."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import uuid4

from analysis.sheet.gate_csv import checked, day_of
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import GateError
from analysis.values.gate import GateTime
from analysis.values.project import Project
from analysis.values.typed import typed_number
from analysis.values.words import capital, tr


def add_gate(project: Project, athlete_id: str | None, day: str, distance: str, time: str) -> Command:
    """A time as it was typed. Raises GateError, saying what can't be."""
    if athlete_id not in project.athletes:
        raise GateError(tr("Choose whose time it is. Athletes are named on the page Run."))
    distance_m, time_s = typed_number(distance, "m"), typed_number(time, "s")
    try:
        date = day_of(day)
        checked(distance_m, time_s)
    except GateError as error:
        raise GateError(capital(f"{error}.".replace("..", "."))) from error
    gate = GateTime(uuid4().hex, athlete_id or "", date, distance_m, time_s)
    return Command(tr("Time from a gate"), (Change(Kind.GATE, gate.id, None, gate),))


def drop_gates(project: Project, ids: Iterable[str]) -> Command:
    """Without these times."""
    gone = [project.gates[one] for one in ids if one in project.gates]
    return Command(tr("Times from gates"), tuple(Change(Kind.GATE, one.id, one, None) for one in gone))
