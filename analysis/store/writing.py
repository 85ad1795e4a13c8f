"""The rows of one change."""

from __future__ import annotations

import math
import numbers
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Table, and_, delete, insert, update

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
from analysis.store.cells import Row
from analysis.store.rows import PtsOf
from analysis.values import paths
from analysis.values.bands import BandTable
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.command import Change, FilmEntry, Item, Kind
from analysis.values.comparison import PublishedError
from analysis.values.consent import Consent
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.drill_film import DrillFilm
from analysis.values.errors import ProjectError
from analysis.values.face_cover import FaceCover
from analysis.values.gate import GateTime
from analysis.values.narration import Narration
from analysis.values.recording import Recording
from analysis.values.run import Athlete, BodyPoint, Footfall, GroundMark, Line, Run
from analysis.values.tagging import TaggingSample
from analysis.values.words import tr

TABLES: Mapping[Kind, Table] = MappingProxyType(
    {
        Kind.ATHLETE: tables.athlete,
        Kind.FILM: tables.film,
        Kind.RUN: tables.run,
        Kind.MARK: tables.mark,
        Kind.FOOTFALL: tables.footfall,
        Kind.POINT: tables.point,
        Kind.LINE: tables.line,
        Kind.CAMERA_PLACE: tables.camera_place,
        Kind.FILM_CAMERA: tables.film_camera,
        Kind.TAGGING: tables.tagging,
        Kind.BANDS: tables.band_table,
        Kind.DRILL: tables.drill,
        Kind.DAY: tables.day,
        Kind.FACE_COVER: tables.face_cover,
        Kind.CONSENT: tables.consent,
        Kind.GATE: tables.gate_time,
        Kind.NARRATION: tables.narration,
        Kind.RECORDING: tables.recording,
        Kind.DRILL_FILM: tables.drill_film,
        Kind.PUBLISHED_ERROR: tables.published_error,
    }
)
"""The table that holds the objects of a kind."""


class _Part(NamedTuple):
    """Where parts of an item lie: their table, the column that names the item there, and their rows."""

    table: Table
    owner: str
    rows: Callable[[Any], list[Row]]


_PARTS: Mapping[type, _Part] = MappingProxyType(
    {
        Run: _Part(tables.report_place, "run_id", rows.place_rows),
        CameraPlace: _Part(tables.camera_place_mark, "camera_place_id", camera_rows.camera_place_mark_rows),
        BandTable: _Part(tables.band, "band_table_id", judged_rows.band_rows),
        DayPlan: _Part(tables.planned_drill, "day_id", plan_rows.planned_drill_rows),
    }
)

_PLAIN_ROWS: Mapping[type, Callable[[Any], Row]] = MappingProxyType(
    {
        Athlete: rows.athlete_row,
        CameraPlace: camera_rows.camera_place_row,
        TaggingSample: camera_rows.tagging_row,
        BandTable: judged_rows.band_table_row,
        Drill: plan_rows.drill_row,
        DayPlan: plan_rows.day_plan_row,
        FaceCover: privacy_rows.face_cover_row,
        Consent: privacy_rows.consent_row,
        GateTime: gate_rows.gate_row,
        Narration: narration_rows.narration_row,
        Recording: narration_rows.recording_row,
        PublishedError: judged_rows.published_row,
    }
)
"""The rows of what holds neither frames nor paths."""

_WHOLE_LIMIT = 2**63


def write(connection: Connection, change: Change, folder: Path, pts_of: PtsOf) -> None:
    """Insert, update or delete what the change is about, inside the caller's transaction.

    Raises ProjectError where a value can't be stored exactly.
    """
    table = TABLES[change.kind]
    old = None if change.old is None else _row(change.old, change.run_id, folder, lambda _: None)
    new = None if change.new is None else _row(change.new, change.run_id, folder, pts_of)
    if (part := _PARTS.get(type(change.old))) is not None:
        connection.execute(delete(part.table).where(part.table.c[part.owner] == change.id))
    if old is not None and new is None:
        connection.execute(delete(table).where(_same(table, old)))
    elif new is not None and old is None:
        connection.execute(insert(table), new)
    elif new is not None and old is not None:
        connection.execute(update(table).where(_same(table, old)).values(_without_unknown_times(old, new)))
    if (part := _PARTS.get(type(change.new))) is not None and (found := part.rows(change.new)):
        connection.execute(insert(part.table), [_plain(row) for row in found])


def _row(item: Item, run_id: str, folder: Path, pts_of: PtsOf) -> Row:
    match item:
        case FilmEntry():
            if item.path and not paths.is_whole(item.path):
                raise ProjectError(tr("A film is named by its whole path. Nothing was altered."))
            row = rows.film_row(item, folder)
        case Run():
            row = rows.run_row(item, pts_of)
        case GroundMark() | Footfall() | BodyPoint() | Line():
            row = rows.part_row(run_id, item, pts_of)
        case FilmCamera():
            row = camera_rows.film_camera_row(item, pts_of)
        case DrillFilm():
            row = drill_film_rows.drill_film_row(item, pts_of)
        case _:
            row = _PLAIN_ROWS[type(item)](item)
    return _plain(row)


def _same(table: Table, row: Row) -> ColumnElement[bool]:
    return and_(*(column == row[column.name] for column in table.primary_key))


def _without_unknown_times(old: Row, new: Row) -> Row:
    """The new row, but a frame that stays the same keeps its presentation time where nobody knows it now."""
    return {name: value for name, value in new.items() if not _is_unknown_time(name, old, new)}


def _is_unknown_time(name: str, old: Row, new: Row) -> bool:
    frame = name.removesuffix("_pts")
    return frame != name and frame in new and new[name] is None and new[frame] == old[frame]


def _plain(row: Row) -> Row:
    """The row in types that SQLite gives back exactly; NumPy's numbers become Python's."""
    return {name: _checked(value) for name, value in row.items()}


def _checked(value: Any) -> Any:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, numbers.Integral):
        if not -_WHOLE_LIMIT <= int(value) < _WHOLE_LIMIT:
            raise ProjectError(tr("A whole number is too large to be saved. Nothing was altered."))
        return int(value)
    if isinstance(value, numbers.Real):
        if not math.isfinite(value):
            raise ProjectError(tr("A value is not a finite number and can't be saved. Nothing was altered."))
        return float(value)
    return value


def _text(value: str) -> str:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError as error:
        sentence = tr(
            "A name holds characters that can't be saved: {text!a}. Nothing was altered; rename it."
        )
        raise ProjectError(sentence.format(text=value)) from error
    return str(value)


PtsOfFilm = Callable[[str, int], int | None]
"""The presentation time of a film's frame, by the film's id, or None where nobody knows."""


def for_film(pts_of: PtsOfFilm | None, film_id: str | None) -> PtsOf:
    """The presentation times of one film."""
    if pts_of is None or film_id is None:
        return lambda _: None
    known, film = pts_of, film_id
    return lambda frame: known(film, frame)
