"""The whole project out of its file."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, select

from analysis.store import camera_rows, judged_rows, rows, tables
from analysis.values.project import Project

_PARTS: tuple[tuple[str, Table, Callable[[Mapping[str, Any]], object]], ...] = (
    ("marks", tables.mark, rows.mark_of),
    ("footfalls", tables.footfall, rows.footfall_of),
    ("points", tables.point, rows.point_of),
    ("lines", tables.line, rows.line_of),
)


class DamagedError(ValueError):
    """The file holds what no project holds."""


def load(connection: Connection, folder: Path) -> Project:
    """The project, its films seen from ``folder``. Raises DamagedError, or what SQLAlchemy raises."""
    try:
        return _load(connection, folder)
    except (ValueError, TypeError, ZeroDivisionError, OverflowError, KeyError) as error:
        raise DamagedError(str(error)) from error


def check(connection: Connection) -> None:
    """Raise DamagedError where SQLite finds the file inconsistent or a reference leads nowhere."""
    if connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar() != "ok":
        raise DamagedError("integrity_check")
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise DamagedError("foreign_key_check")


def _load(connection: Connection, folder: Path) -> Project:
    parts: dict[str, dict[str, list[Any]]] = defaultdict(lambda: defaultdict(list))
    for name, table, value_of in _PARTS:
        for row in _all(connection, table):
            parts[row["run_id"]][name].append(value_of(row))
    places: dict[str, list[float]] = defaultdict(list)
    for row in sorted(_all(connection, tables.report_place), key=lambda r: int(r["position"])):
        places[row["run_id"]].append(row["x_m"])
    runs = [
        rows.run_of(row, places.get(row["id"], ()), parts.get(row["id"], {}))
        for row in _all(connection, tables.run)
    ]
    athletes = [rows.athlete_of(row) for row in _all(connection, tables.athlete)]
    films = [rows.film_of(row, folder) for row in _all(connection, tables.film)]
    place_marks: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for row in _all(connection, tables.camera_place_mark):
        place_marks[row["camera_place_id"]].append(row)
    camera_places = [
        camera_rows.camera_place_of(row, place_marks.get(row["id"], ()))
        for row in _all(connection, tables.camera_place)
    ]
    film_cameras = [camera_rows.film_camera_of(row) for row in _all(connection, tables.film_camera)]
    tagging = [camera_rows.tagging_of(row) for row in _all(connection, tables.tagging)]
    of_table: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for row in _all(connection, tables.band):
        of_table[row["band_table_id"]].append(row)
    band_tables = [
        judged_rows.band_table_of(row, of_table.get(row["id"], ()))
        for row in _all(connection, tables.band_table)
    ]
    return Project(
        {a.id: a for a in sorted(athletes, key=lambda a: a.id)},
        {f.id: f for f in sorted(films, key=lambda f: f.id)},
        {r.id: r for r in sorted(runs, key=lambda r: r.id)},
        {p.id: p for p in sorted(camera_places, key=lambda p: p.id)},
        {c.id: c for c in sorted(film_cameras, key=lambda c: c.id)},
        {t.id: t for t in sorted(tagging, key=lambda t: t.id)},
        {b.id: b for b in sorted(band_tables, key=lambda b: b.id)},
    )


def _all(connection: Connection, table: Table) -> list[Mapping[str, Any]]:
    return [dict(row) for row in connection.execute(select(table)).mappings()]
