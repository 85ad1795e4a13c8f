"""Times from gates into a project, and against its films."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any
from uuid import uuid4

from analysis.jobs.read_runs import read_all
from analysis.reading.cells import number_to_json
from analysis.reading.gates import gate_days
from analysis.sheet.gate_csv import GateRow, gates_from_csv
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import GateError
from analysis.values.gate import GateDay, GateTime
from analysis.values.project import Project
from analysis.values.run import Athlete
from analysis.values.words import tr, tr_count


def gates_of_table(project: Project, path: Path) -> tuple[Command, tuple[str, ...]]:
    """What adds the times of a CSV file to the project, and sentences: which lines were left out and why.

    An athlete is known by the code, capitals or not. Times that the project holds already are not added
    again. Raises GateError where the file can't be read.
    """
    try:
        table = gates_from_csv(path.read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError) as error:
        raise GateError(tr("{file} can't be read as a table.").format(file=path.name)) from error
    held = Counter(map(_same, project.gates.values()))
    changes, faults, again = [], list(table.faults), 0
    for row in table.rows:
        try:
            gate = _gate(project, row)
        except GateError as error:
            faults.append(tr("Line {line}: {why}").format(line=row.line, why=error))
            continue
        if held[_same(gate)] > 0:
            held[_same(gate)] -= 1
            again += 1
        else:
            changes.append(Change(Kind.GATE, gate.id, None, gate))
    if again:
        words = tr_count("{count} time was there already.", "{count} times were there already.", again)
        faults.append(words.format(count=again))
    return Command(tr("Times from gates"), tuple(changes)), tuple(faults)


def add_gates(project: Path, table: Path) -> tuple[list[dict[str, Any]], tuple[str, ...]]:
    """Add a table's times to a project; all its gate times against the films, as JSON, and sentences.

    Raises CinderlaneError where the project or the table can't be used.
    """
    with ProjectFile.open(project) as file:
        command, faults = gates_of_table(file.project, table)
        if command.changes:
            file.commit(command)
        readable, notes = read_all(file)
        found = gate_days(file.project.gates.values(), [one.reading for one in readable.values()])
        athletes = file.project.athletes
    return gates_to_json(found, athletes), (*faults, *notes)


def gates_to_json(days: Iterable[GateDay], athletes: Mapping[str, Athlete]) -> list[dict[str, Any]]:
    """Gate times against films as plain JSON."""
    return [
        {
            "athlete": athletes[one.athlete_id].code,
            "date": one.day,
            "distance_m": one.distance_m,
            "times_s": list(one.times_s),
            "gate_s": number_to_json(one.gate_s),
            "runs": one.runs,
            "film_s": number_to_json(one.film_s),
            "film_from_front_toe_off_s": number_to_json(one.film_off_s),
            "difference_s": number_to_json(one.difference_s),
            "difference_from_front_toe_off_s": number_to_json(one.difference_off_s),
        }
        for one in days
    ]


def _gate(project: Project, row: GateRow) -> GateTime:
    athletes = project.athletes.values()
    mine = [one for one in athletes if one.code == row.athlete] or [
        one for one in athletes if one.code.casefold() == row.athlete.casefold()
    ]
    if len(mine) != 1:
        words = tr("no athlete is called {code}") if not mine else tr("several athletes are called {code}")
        raise GateError(words.format(code=row.athlete))
    return GateTime(uuid4().hex, mine[0].id, row.date, row.distance_m, row.time_s, row.note)


def _same(gate: GateTime) -> tuple[str, str, float, float]:
    return gate.athlete_id, gate.date, gate.distance_m, gate.time_s
