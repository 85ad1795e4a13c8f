"""All that was read of runs as tables, for a spreadsheet or a script; several runs stand below each other."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from datetime import date

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from analysis.reading.posture_tables import POSTURE_COLUMNS, curves, posture_cells
from analysis.reading.tables import step_header, step_row
from analysis.report.body import spots_on
from analysis.report.history_tables import gate_table, history_table
from analysis.report.season import Season
from analysis.report.table import Table
from analysis.report.table_words import meaning, unit
from analysis.report.told import Told
from analysis.values.run import POINT_NAMES

WHOSE = ("run_id", "run", "athlete", "day")
"""The first columns of every table."""

DAYS = ("day", "since_day")
"""Columns with days, which are dates in a workbook."""
_WIDEST, _LOOKED_AT = 48, 200

Rows = tuple[Sequence[str], list[list[object]]]


def tables(told: Sequence[Told], seasons: Sequence[Season] = ()) -> tuple[Table, ...]:
    """Steps, posture at events and on frames, points, the speed curve; of the athletes' seasons the history
    and the times from gates; and what each column means.
    """
    makers: dict[str, Callable[[Told], Rows]] = {
        "steps": _steps,
        "posture": _posture,
        "frames": _frames,
        "points": _points,
        "speed": _speed,
    }
    of_runs = (_joined(name, [(one, make(one)) for one in told]) for name, make in makers.items())
    found = (*of_runs, history_table(seasons), gate_table(seasons))
    return (*found, _dictionary(found))


def workbook(found: Sequence[Table]) -> bytes:
    """The tables as the sheets of one XLSX file; words stay words there, however they begin, and days are
    dates.
    """
    book = Workbook(write_only=True)
    for table in found:
        sheet = book.create_sheet(table.name)
        sheet.freeze_panes = "A2"
        for number, width in enumerate(_widths(table), start=1):
            sheet.column_dimensions[get_column_letter(number)].width = width
        heads = [_cell(sheet, name) for name in table.header]
        for head in heads:
            head.font = Font(bold=True)
        sheet.append(heads)
        days = [name in DAYS for name in table.header]
        for row in table.rows:
            sheet.append(
                [_dated(sheet, v) if day else _plain(sheet, v) for v, day in zip(row, days, strict=True)]
            )
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _widths(table: Table) -> Iterator[float]:
    """As wide as what stands in a column, within reason; of long tables the first rows tell."""
    for column, name in enumerate(table.header):
        longest = max((len(_as_shown(row[column])) for row in table.rows[:_LOOKED_AT]), default=0)
        yield min(max(longest, len(name)) + 2, _WIDEST)


def _as_shown(value: object) -> str:
    return "" if value is None else f"{value:.6g}" if isinstance(value, float) else str(value)


def _dated(sheet: object, value: object) -> object:
    """A day that was written as one, as a date; whatever else stands there as it is."""
    try:
        day = date.fromisoformat(str(value))
    except ValueError:
        return _plain(sheet, value)
    cell = WriteOnlyCell(sheet, day)
    cell.number_format = "yyyy-mm-dd"
    return cell


def _plain(sheet: object, value: object) -> object:
    return _cell(sheet, value) if isinstance(value, str) else value


def _cell(sheet: object, value: str) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, ILLEGAL_CHARACTERS_RE.sub("\N{REPLACEMENT CHARACTER}", value))
    cell.data_type = "s"
    return cell


def _joined(name: str, parts: Sequence[tuple[Told, Rows]]) -> Table:
    """The rows of several runs below each other; a column that a run has not stays empty there."""
    header = tuple(dict.fromkeys((*WHOSE, *(column for _, (columns, _) in parts for column in columns))))
    rows = []
    for told, (columns, cells) in parts:
        for row in cells:
            by_name = dict(zip((*WHOSE, *columns), (*_whose(told), *row), strict=True))
            rows.append(tuple(by_name.get(column) for column in header))
    return Table(name, header, tuple(rows))


def _whose(told: Told) -> tuple[str, ...]:
    run, athlete = told.evidence.run, told.evidence.athlete
    return run.id, run.name, athlete.code if athlete else "", run.conditions.day


def _steps(told: Told) -> Rows:
    header = step_header()
    rows = map(step_row, told.reading.steps)
    return header, [[row[name] for name in header] for row in rows]


def _posture(told: Told) -> Rows:
    return POSTURE_COLUMNS, [posture_cells(row) for row in told.reading.posture]


def _frames(told: Told) -> Rows:
    header, rows = curves(told.reading)
    times = told.evidence.film.times
    timed: list[list[object]] = [[row[0], times.at(int(row[0] or 0)), *row[1:]] for row in rows]
    return ("frame", "time_s", *header[1:]), timed


def _points(told: Told) -> Rows:
    return ("frame", "time_s", "point", "how", "u_px", "v_px", "error_px"), list(_spots(told))


def _spots(told: Told) -> Iterator[list[object]]:
    run, tracks, times = told.evidence.run, told.evidence.tracks, told.evidence.film.times
    frames = {int(point.frame) for point in run.points if point.name in POINT_NAMES}
    if tracks is not None:
        frames |= set(range(int(tracks.first), int(tracks.last) + 1))
    for frame in sorted(frame for frame in frames if 0 <= frame < len(times)):
        for name, spot in spots_on(run, tracks, frame).items():
            yield [frame, times.at(frame), name, spot.look.value, spot.u, spot.v, spot.u_px]


def _speed(told: Told) -> Rows:
    band = told.reading.speed_band
    names = ("time_s", "x_m", "v_m_s", "low_m_s", "high_m_s")
    columns = [] if band is None else [getattr(band, name) for name in names]
    return names, [list(row) for row in zip(*columns, strict=True)]


def _dictionary(found: Sequence[Table]) -> Table:
    rows = tuple((t.name, column, unit(column), meaning(column)) for t in found for column in t.header)
    return Table("dictionary", ("table", "column", "unit", "meaning"), rows)
