"""Followed points in the project file: kept by the digest of what they were made from, no part of an edit."""

from __future__ import annotations

from sqlalchemy import Connection, delete, func, insert, select

from analysis.store import tables
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import packed, unpacked

KEPT = 6
"""So many tracks of a run are kept: undoing a few corrections finds them again."""


def keep(connection: Connection, run_id: str, tracks: Tracks) -> None:
    """Store tracks of a run in the place of those with the same key; its oldest go."""
    table = tables.tracks
    newest = connection.execute(select(func.max(table.c.kept))).scalar() or 0
    connection.execute(delete(table).where(table.c.key == tracks.key))
    row = {"key": tracks.key, "run_id": run_id, "kept": newest + 1, "content": packed(tracks)}
    connection.execute(insert(table), row)
    of_run = select(table.c.key).where(table.c.run_id == run_id).order_by(table.c.kept.desc())
    old = [row.key for row in connection.execute(of_run)][KEPT:]
    if old:
        connection.execute(delete(table).where(table.c.key.in_(old)))


def found(connection: Connection, key: str) -> Tracks | None:
    """The tracks of that key, None where there are none or they can't be read: then they are made again."""
    content = connection.execute(select(tables.tracks.c.content).where(tables.tracks.c.key == key)).scalar()
    return None if content is None else _read(content)


def latest(connection: Connection, run_id: str) -> Tracks | None:
    """The tracks of a run that were kept last, whatever has changed since."""
    table = tables.tracks
    of_run = select(table.c.content).where(table.c.run_id == run_id).order_by(table.c.kept.desc()).limit(1)
    content = connection.execute(of_run).scalar()
    return None if content is None else _read(content)


def _read(content: bytes) -> Tracks | None:
    try:
        return unpacked(content)
    except (ValueError, OSError):
        return None
