"""From an older version of the schema to this program's, one step at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from sqlalchemy import Connection

from analysis.store import tables
from analysis.values.errors import ProjectError
from analysis.values.words import tr

Step = Callable[[Connection], None]
"""Changes a file of version n into one of version n + 1, inside the caller's transaction."""

VERSION = 9
"""The version of the schema that this program writes, in ``PRAGMA user_version``."""


def _cameras_and_tagging(connection: Connection) -> None:
    """To version 2: marks that are *about* or beside the line, camera places, films' cameras, tagging, films
    whose pictures stand more than once.
    """
    added = (tables.camera_place, tables.camera_place_mark, tables.film_camera, tables.tagging)
    tables.metadata.create_all(connection, tables=added, checkfirst=False)
    reference = "TEXT REFERENCES camera_place (id) DEFERRABLE INITIALLY DEFERRED"
    _add_columns(
        connection,
        ("film", "every", "INTEGER"),
        ("mark", "error_m", "REAL DEFAULT 0 NOT NULL"),
        ("mark", "z_m", "REAL DEFAULT 0 NOT NULL"),
        ("run", "lane_offset_m", "REAL"),
        ("run", "lane_offset_u_m", "REAL"),
        ("run", "camera_place_id", reference),
    )
    connection.exec_driver_sql("CREATE INDEX ix_run_camera_place_id ON run (camera_place_id)")


def _drafts_and_tracks(connection: Connection) -> None:
    """To version 3: how sure a draft is, whether drafts count, drafts of the start, followed points."""
    tables.metadata.create_all(connection, tables=(tables.tracks,), checkfirst=False)
    _add_columns(
        connection,
        ("footfall", "confidence", "REAL"),
        ("run", "count_drafts", "INTEGER DEFAULT 0 NOT NULL"),
        ("run", "start_drafts", "TEXT DEFAULT '' NOT NULL"),
    )


def _second_taggings_and_lens_of_a_path(connection: Connection) -> None:
    """To version 4: runs that tag another one again, and the lens with which a background was followed."""
    lens = [("film_camera", f"path_{column}", "REAL") for column in tables.LENS]
    _add_columns(connection, ("run", "retags", "TEXT"), *lens)


def _add_columns(connection: Connection, *columns: tuple[str, str, str]) -> None:
    """Add columns (table, name, kind), but to no table that an earlier step has just made with them."""
    for table, column, kind in columns:
        known = {row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table})")}
        if column not in known:
            connection.exec_driver_sql(f"ALTER TABLE {table} ADD COLUMN {column} {kind}")


def _bands_and_conditions(connection: Connection) -> None:
    """To version 5: bands, whom they are for, conditions of a run, good runs, and the coach's overruling."""
    tables.metadata.create_all(connection, tables=(tables.band_table, tables.band), checkfirst=False)
    told, said = "TEXT", "TEXT DEFAULT '' NOT NULL"
    _add_columns(
        connection,
        ("athlete", "age", told),
        ("athlete", "sport", told),
        ("run", "day", said),
        ("run", "stance", told),
        ("run", "load_kg", "REAL"),
        ("run", "surface", said),
        ("run", "shoe", said),
        ("run", "wind_m_s", "REAL"),
        ("run", "rep", "INTEGER"),
        ("run", "cue", said),
        ("run", "named_good", "INTEGER DEFAULT 0 NOT NULL"),
        ("run", "overruled_question", told),
        ("run", "overruled_reason", told),
    )


def _drills_and_days(connection: Connection) -> None:
    """To version 6: the coach's drills and planned days."""
    added = (tables.drill, tables.day, tables.planned_drill)
    tables.metadata.create_all(connection, tables=added, checkfirst=False)


def _drill_films_and_handing_over(connection: Connection) -> None:
    """To version 7: films of drills, narrations and their sound, covered faces, consent, times from gates."""
    added = (
        tables.drill_film,
        tables.narration,
        tables.recording,
        tables.face_cover,
        tables.consent,
        tables.gate_time,
    )
    tables.metadata.create_all(connection, tables=added, checkfirst=False)
    _add_columns(connection, ("run", "of_drill", "INTEGER DEFAULT 0 NOT NULL"))


def _several_faces_and_what_was_done(connection: Connection) -> None:
    """To version 8: several covered faces a film, drills marked as done, typical errors from elsewhere."""
    covers = connection.exec_driver_sql("SELECT * FROM face_cover").mappings().all()
    tables.face_cover.drop(connection)
    added = (tables.face_cover, tables.published_error)
    tables.metadata.create_all(connection, tables=added, checkfirst=False)
    if covers:  # each bore the id of its film
        rows = [
            {"id": one["id"], "film_id": one["id"], "number": 1, "content": one["content"]} for one in covers
        ]
        connection.execute(tables.face_cover.insert(), rows)
    said = "TEXT DEFAULT '' NOT NULL"
    _add_columns(connection, ("planned_drill", "done_at", "TEXT"), ("planned_drill", "done_note", said))


def _who_left_out_and_when_bands_were_made(connection: Connection) -> None:
    """To version 9: athletes who left a drill out that others did, and when a version of bands was made."""
    _add_columns(
        connection,
        ("planned_drill", "left_out", "TEXT DEFAULT '[]' NOT NULL"),
        ("band_table", "made_at", "TEXT DEFAULT '' NOT NULL"),
    )


STEPS: Mapping[int, Step] = MappingProxyType(
    {
        1: _cameras_and_tagging,
        2: _drafts_and_tracks,
        3: _second_taggings_and_lens_of_a_path,
        4: _bands_and_conditions,
        5: _drills_and_days,
        6: _drill_films_and_handing_over,
        7: _several_faces_and_what_was_done,
        8: _who_left_out_and_when_bands_were_made,
    }
)
"""The step that leads away from each older version."""


def create(connection: Connection) -> None:
    """Make the tables of this version in an empty file, inside the caller's transaction."""
    tables.metadata.create_all(connection, checkfirst=False)
    connection.exec_driver_sql(f"PRAGMA application_id = {tables.APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")


def check_version(version: int, target: int = VERSION) -> None:
    """Raise ProjectError where a file of that version can't be opened by this program."""
    if version > target:
        raise ProjectError(
            tr(
                "The project was saved by a newer version of the program (file version {version}, known up "
                "to {target}). Nothing was altered. Update the program and open it again."
            ).format(version=version, target=target)
        )
    if version < 1:
        raise ProjectError(tr("The project file is damaged: it has no version. Open an earlier copy of it."))


def upgrade(
    connection: Connection, version: int, steps: Mapping[int, Step] = STEPS, target: int = VERSION
) -> None:
    """Take a file from ``version`` to ``target`` inside the caller's transaction; all steps or none.

    Raises ProjectError where the version is newer than ``target``.
    """
    check_version(version, target)
    for number in range(version, target):
        steps[number](connection)
        connection.exec_driver_sql(f"PRAGMA user_version = {number + 1}")
