"""A table of times from timing gates, as CSV: one time a line."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from analysis.values.errors import GateError
from analysis.values.typed import typed_number
from analysis.values.words import tr

COLUMNS = ("date", "athlete", "distance_m", "time_s", "note")
"""The columns; the last may be left out. Units may stand in brackets or be left out too."""

_SAME = {"day": "date", "distance": "distance_m", "time": "time_s", "code": "athlete", "notes": "note"}
_FASTEST_M_S = 13.0
"""Faster than anybody runs on average over any distance (from memory)."""
_MOST = 20_000


@dataclass(frozen=True)
class GateRow:
    """A line that could be read; ``line``: its number, the header's is 1."""

    line: int
    date: str
    athlete: str
    distance_m: float
    time_s: float
    note: str = ""


@dataclass(frozen=True)
class GateTable:
    """What was read, and a sentence for each line that could not be."""

    rows: tuple[GateRow, ...]
    faults: tuple[str, ...]


def gates_from_csv(text: str) -> GateTable:
    """The times of a table with a header line; commas, semicolons or tabs between the cells.

    A comma serves in decimals where it does not part cells, or in quotes. Days are year-month-day (ISO 8601)
    or day.month.year. A line that can't be read is said with its number and the rest is read all the same.
    Raises GateError where the table as a whole can't be read.
    """
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    parted = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted)
    try:
        lines = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise GateError(tr("The table can't be read as CSV. Save it as CSV and try again.")) from error
    if not lines:
        raise GateError(tr("The table is empty. Its first line must name the columns."))
    header = [_column(name) for name in lines[0][1]]
    missing = [name for name in COLUMNS[:-1] if name not in header]
    if missing:
        words = tr(
            "The table has no column {columns}. Its first line must name date, athlete, distance, time."
        )
        raise GateError(words.format(columns=", ".join(missing)))
    if len(lines) - 1 > _MOST:
        raise GateError(tr("The table holds more than {count} times. Is it another one?").format(count=_MOST))
    rows, faults = [], []
    for number, cells in lines[1:]:
        try:
            rows.append(_row(number, dict(zip(header, cells, strict=False))))
        except GateError as error:
            faults.append(tr("Line {line}: {why}").format(line=number, why=error))
    return GateTable(tuple(rows), tuple(faults))


def day_of(text: str) -> str:
    """A day as year-month-day. Raises GateError where it is none."""
    dotted = re.fullmatch(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", text.strip())
    try:
        if dotted:
            day, month, year = map(int, dotted.groups())
            return date(year, month, day).isoformat()
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError as error:
        words = tr("{text} is no day. Write it as year-month-day, such as 2026-03-20.")
        raise GateError(words.format(text=text.strip() or "–")) from error


def checked(distance_m: float, time_s: float) -> None:
    """Raise GateError where nobody runs so far in that time."""
    if not distance_m > 0 or not math.isfinite(distance_m):
        raise GateError(tr("the distance must be a number of metres above 0"))
    if not time_s > 0 or not math.isfinite(time_s):
        raise GateError(tr("the time must be a number of seconds above 0"))
    if distance_m / time_s > _FASTEST_M_S:
        words = tr("{x:g} m in {t:g} s is faster than anybody runs")
        raise GateError(words.format(x=distance_m, t=time_s))


def _column(name: str) -> str:
    bare = re.sub(r"\s*[(\[].*[)\]]\s*$", "", name.strip().lower()).replace(" ", "_")
    return _SAME.get(bare, bare)


def _row(line: int, cells: Mapping[str, str]) -> GateRow:
    athlete = cells.get("athlete", "").strip()
    if not athlete:
        raise GateError(tr("no athlete is named"))
    day = day_of(cells.get("date", ""))
    distance, time = (typed_number(cells.get(name, ""), name[-1]) for name in ("distance_m", "time_s"))
    checked(distance, time)
    return GateRow(line, day, athlete, distance, time, cells.get("note", "").strip())
