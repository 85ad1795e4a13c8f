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

VERSION = 1
"""The version of the schema that this program writes, in ``PRAGMA user_version``."""

STEPS: Mapping[int, Step] = MappingProxyType({})
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
