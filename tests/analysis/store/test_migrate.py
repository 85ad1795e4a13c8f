"""From version to version, and files of every older version as they were written then."""

import sqlite3
from pathlib import Path

import pytest

from analysis.store import ProjectFile, connecting, migrate
from analysis.values.errors import ProjectError
from tests.helpers.random_edits import RandomEdits

FIXTURES = Path(__file__).parent / "old_files"


def _tables(path):
    connection = sqlite3.connect(path)
    try:
        return dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))
    finally:
        connection.close()


@pytest.fixture
def connection(project_path):
    opened = connecting.connect(project_path, read_only=False)
    yield opened
    connecting.disconnect(opened)


def _version(connection):
    with connecting.transaction(connection, write=False):
        return connecting.pragma(connection, "user_version")


def test_steps_are_taken_in_order_and_the_version_is_written(connection):
    taken = []

    def squad(c):
        taken.append(1)
        c.exec_driver_sql("CREATE TABLE squad (id TEXT PRIMARY KEY NOT NULL) STRICT")

    def history(c):
        taken.append(2)
        c.exec_driver_sql("ALTER TABLE squad ADD COLUMN name TEXT")

    with connecting.transaction(connection, write=True):
        migrate.upgrade(connection, 1, {1: squad, 2: history}, target=3)
    assert taken == [1, 2]
    assert _version(connection) == 3
    with connecting.transaction(connection, write=False):
        assert connection.exec_driver_sql("SELECT id, name FROM squad").all() == []


def test_a_step_that_fails_leaves_the_file_as_it_was(connection, project_path):
    before = _tables(project_path)

    def squad(c):
        c.exec_driver_sql("CREATE TABLE squad (id TEXT) STRICT")

    def broken(c):
        raise OSError("pulled out")

    with pytest.raises(OSError, match="pulled out"), connecting.transaction(connection, write=True):
        migrate.upgrade(connection, 1, {1: squad, 2: broken}, target=3)
    assert _version(connection) == migrate.VERSION
    assert _tables(project_path) == before


def test_newer_than_the_target_is_refused(connection):
    with pytest.raises(ProjectError, match="newer version"), connecting.transaction(connection, write=True):
        migrate.upgrade(connection, 3, {}, target=2)


def test_there_is_a_step_from_every_older_version():
    assert sorted(migrate.STEPS) == list(range(1, migrate.VERSION))


@pytest.mark.parametrize("fixture", sorted(FIXTURES.glob("version_*.sql")), ids=lambda p: p.stem)
def test_old_files_open_with_all_that_was_in_them(tmp_path, fixture):
    path = tmp_path / "old.cinderlane"
    connection = sqlite3.connect(path)
    connection.executescript(fixture.read_text(encoding="utf-8"))
    connection.close()
    version = int(fixture.stem.removeprefix("version_"))
    edits = RandomEdits(19, version=version)
    edits.take({1: 40, 2: 90, 3: 90, 4: 90, 5: 90, 6: 120, 7: 200, 8: 200, 9: 200}[version])
    with ProjectFile.open(path) as file:
        assert file.project == edits.project


def test_the_schema_is_the_one_that_was_published(tmp_path):
    old, new = tmp_path / "old.cinderlane", tmp_path / "new.cinderlane"
    connection = sqlite3.connect(old)
    connection.executescript((FIXTURES / f"version_{migrate.VERSION}.sql").read_text(encoding="utf-8"))
    connection.close()
    ProjectFile.create(new).close()
    assert _tables(old) == _tables(new)


@pytest.mark.parametrize("fixture", sorted(FIXTURES.glob("version_*.sql")), ids=lambda p: p.stem)
def test_an_old_file_gets_the_columns_and_indexes_of_a_new_one(tmp_path, fixture):
    old, new = tmp_path / "old.cinderlane", tmp_path / "new.cinderlane"
    connection = sqlite3.connect(old)
    connection.executescript(fixture.read_text(encoding="utf-8"))
    connection.close()
    ProjectFile.open(old).close()
    ProjectFile.create(new).close()
    assert _shape(old) == _shape(new)


def _shape(path):
    """Columns with type, default and key, references and indexes of every table."""
    connection = sqlite3.connect(path)
    try:
        return {
            table: (
                sorted(row[1:] for row in connection.execute(f"PRAGMA table_xinfo({table})")),
                sorted(row[2:] for row in connection.execute(f"PRAGMA foreign_key_list({table})")),
                sorted(row[1:4] for row in connection.execute(f"PRAGMA index_list({table})")),
            )
            for (table,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
    finally:
        connection.close()
