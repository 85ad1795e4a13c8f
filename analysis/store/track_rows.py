"""What was worked out from pictures, in the project file by the digest of what it was made from: no edit."""

from __future__ import annotations

from sqlalchemy import Connection, delete, func, insert, select

from analysis.store import tables

KEPT = 6
"""So many tracks of a run are kept: undoing a few corrections finds them again."""

KEPT_DRAFTS = 1
"""So many drafts of a film: the last one, which its strip is shown from."""


def keep(connection: Connection, owner: str, key: str, content: bytes, most: int) -> None:
    """Store content of an owner in the place of that with the same key; the owner's oldest goes."""
    table = tables.tracks
    newest = connection.execute(select(func.max(table.c.kept))).scalar() or 0
    connection.execute(delete(table).where(table.c.key == key))
    row = {"key": key, "run_id": owner, "kept": newest + 1, "content": content}
    connection.execute(insert(table), row)
    of_owner = select(table.c.key).where(table.c.run_id == owner).order_by(table.c.kept.desc())
    old = [row.key for row in connection.execute(of_owner)][most:]
    if old:
        connection.execute(delete(table).where(table.c.key.in_(old)))


def found(connection: Connection, key: str) -> bytes | None:
    """The content of that key, None where there is none."""
    content: bytes | None = connection.execute(
        select(tables.tracks.c.content).where(tables.tracks.c.key == key)
    ).scalar()
    return content


def latest(connection: Connection, owner: str) -> tuple[str, bytes] | None:
    """Key and content of what was kept last of an owner, whatever has changed since."""
    table = tables.tracks
    of_owner = select(table.c.key, table.c.content).where(table.c.run_id == owner)
    row = connection.execute(of_owner.order_by(table.c.kept.desc()).limit(1)).first()
    return None if row is None else (row.key, row.content)
