"""The whole project out of its file."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Connection, Table, select

from analysis.store import (
    camera_rows,
    drill_film_rows,
    gate_rows,
    judged_rows,
    narration_rows,
    plan_rows,
    privacy_rows,
    rows,
    tables,
)
from analysis.values.command import Item
from analysis.values.project import Project

_PARTS: tuple[tuple[str, Table, Callable[[Mapping[str, Any]], object]], ...] = (
    ("marks", tables.mark, rows.mark_of),
    ("footfalls", tables.footfall, rows.footfall_of),
    ("points", tables.point, rows.point_of),
    ("lines", tables.line, rows.line_of),
)

_Item = TypeVar("_Item", bound=Item)


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
    marks_of = _by(connection, tables.camera_place_mark, "camera_place_id")
    bands_of = _by(connection, tables.band, "band_table_id")
    drills_of = _by(connection, tables.planned_drill, "day_id")
    return Project(
        athletes=_known(rows.athlete_of(row) for row in _all(connection, tables.athlete)),
        films=_known(rows.film_of(row, folder) for row in _all(connection, tables.film)),
        runs=_known(runs),
        camera_places=_known(
            camera_rows.camera_place_of(row, marks_of[row["id"]])
            for row in _all(connection, tables.camera_place)
        ),
        film_cameras=_known(camera_rows.film_camera_of(row) for row in _all(connection, tables.film_camera)),
        tagging=_known(camera_rows.tagging_of(row) for row in _all(connection, tables.tagging)),
        band_tables=_known(
            judged_rows.band_table_of(row, bands_of[row["id"]]) for row in _all(connection, tables.band_table)
        ),
        drills=_known(plan_rows.drill_of(row) for row in _all(connection, tables.drill)),
        days=_known(plan_rows.day_plan_of(row, drills_of[row["id"]]) for row in _all(connection, tables.day)),
        face_covers=_known(map(privacy_rows.face_cover_of, _all(connection, tables.face_cover))),
        consents=_known(map(privacy_rows.consent_of, _all(connection, tables.consent))),
        narrations=_known(narration_rows.narration_of(row) for row in _all(connection, tables.narration)),
        gates=_known(map(gate_rows.gate_of, _all(connection, tables.gate_time))),
        recordings=_known(narration_rows.recording_of(row) for row in _all(connection, tables.recording)),
        drill_films=_known(drill_film_rows.drill_film_of(row) for row in _all(connection, tables.drill_film)),
        published_errors=_known(map(judged_rows.published_of, _all(connection, tables.published_error))),
    )


def _known(items: Iterable[_Item]) -> dict[str, _Item]:
    """Items by their ids, in the order of these."""
    return {item.id: item for item in sorted(items, key=lambda item: item.id)}


def _by(connection: Connection, table: Table, key: str) -> Mapping[str, list[Mapping[str, Any]]]:
    """The rows of a table by what ``key`` names."""
    found: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for row in _all(connection, table):
        found[row[key]].append(row)
    return found


def _all(connection: Connection, table: Table) -> list[Mapping[str, Any]]:
    return [dict(row) for row in connection.execute(select(table)).mappings()]
