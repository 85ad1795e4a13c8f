"""A connection to a project file: what is checked before anything is touched, and how SQLite is set."""

from __future__ import annotations

import os
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, StaticPool, create_engine

from analysis.store import faults, migrate, tables
from analysis.values.errors import ProjectError
from analysis.values.words import tr

_HEADER_BYTES = 100
_MAGIC = b"SQLite format 3\x00"
_WAIT_S = 2.0  # for another program's edit, which takes milliseconds


def check_header(path: Path) -> None:
    """Look at the file's first 100 bytes, without SQLite, which might write.

    Raises ProjectError where the file is missing, is not a project, or is of a newer version.
    """
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER_BYTES)
    except FileNotFoundError as error:
        raise ProjectError(tr("There is no project at {path}. Check the name.").format(path=path)) from error
    except OSError as error:
        raise ProjectError(
            tr("The project {path} can't be read: it is a folder, or you may not open it.").format(path=path)
        ) from error
    (application,) = struct.unpack(">i", header[68:72].ljust(4, b"\0"))
    if not header.startswith(_MAGIC) or application != tables.APPLICATION_ID:
        raise ProjectError(
            tr("{path} is not a project of this program and was left as it is. Choose another file.").format(
                path=path
            )
        )
    if len(header) < _HEADER_BYTES:
        raise ProjectError(faults.damaged(str(path)))
    (version,) = struct.unpack(">i", header[60:64])
    migrate.check_version(version)


def writable(path: Path) -> bool:
    """Whether both the file and its folder, where the journal goes, can be written to."""
    effective = os.access in os.supports_effective_ids
    return all(os.access(place, os.W_OK, effective_ids=effective) for place in (path, path.parent))


def connect(path: Path, *, read_only: bool) -> Connection:
    """Connect to an existing file with every setting that durability rests on; ``disconnect`` ends it."""
    mode = "ro" if read_only else "rw"
    raw = sqlite3.connect(f"{path.as_uri()}?mode={mode}", uri=True, timeout=_WAIT_S, isolation_level=None)
    try:
        for pragma in (
            "foreign_keys = ON",
            "synchronous = EXTRA",
            "trusted_schema = OFF",
            "cell_size_check = ON",
            "secure_delete = ON",  # a voice that was removed is not to be found in the file any more
        ):
            raw.execute(f"PRAGMA {pragma}")
        if not read_only:
            raw.execute("PRAGMA journal_mode = DELETE")
        return create_engine("sqlite://", creator=lambda: raw, poolclass=StaticPool).connect()
    except BaseException:
        raw.close()
        raise


def disconnect(connection: Connection) -> None:
    """Close the connection and the file."""
    connection.close()
    connection.engine.dispose()


@contextmanager
def transaction(connection: Connection, *, write: bool) -> Iterator[None]:
    """One transaction: all or nothing, durable when the block is left; ``write`` keeps other writers out."""
    with connection.begin():
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")
        yield


def pragma(connection: Connection, name: str) -> int:
    """The number that a PRAGMA answers with."""
    value = connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
    if not isinstance(value, int):
        raise ValueError(f"PRAGMA {name} is no number")
    return value
