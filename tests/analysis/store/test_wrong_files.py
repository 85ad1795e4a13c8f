"""Files that are no project of this version: a sentence, and the file stays as it is."""

import hashlib
import sqlite3
from random import Random

import pytest

from analysis.store import ProjectFile
from analysis.store.migrate import VERSION
from analysis.values.errors import ProjectError
from analysis.values.project import Project
from tests.helpers.random_edits import RandomEdits


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _beside(path):
    return [p for p in path.parent.glob("*") if p.is_file()]


def refused(path):
    """The sentence with which a file is refused; nothing in its folder may be different afterwards."""
    before = {p.name: digest(p) for p in _beside(path)}
    with pytest.raises(ProjectError) as caught:
        ProjectFile.open(path)
    assert {p.name: digest(p) for p in _beside(path)} == before
    return str(caught.value)


def _set(path, statement):
    connection = sqlite3.connect(path)
    connection.execute(statement)
    connection.commit()
    connection.close()


@pytest.mark.parametrize("name", ["none.cinderlane", "nowhere/none.cinderlane", "nul\0.cinderlane"])
def test_missing(tmp_path, name):
    assert "There is no project at" in refused(tmp_path / "a" / ".." / name)


def test_name_that_is_too_long(tmp_path):
    assert "can't be read" in refused(tmp_path / ("x" * 300))


def test_folder(tmp_path):
    (tmp_path / "a.cinderlane").mkdir()
    assert "it is a folder" in refused(tmp_path / "a.cinderlane")


@pytest.mark.parametrize("content", [b"", b"x", b"SQLite format 3\0", b"\x00" * 5000, b"{}" * 500])
def test_not_sqlite(tmp_path, content):
    path = tmp_path / "a.cinderlane"
    path.write_bytes(content)
    assert "not a project of this program" in refused(path)


def test_database_of_another_program(tmp_path):
    path = tmp_path / "a.cinderlane"
    _set(path, "CREATE TABLE song (name TEXT)")
    assert "not a project of this program" in refused(path)


def test_foreign_application_id(project_path):
    _set(project_path, "PRAGMA application_id = 1234567")
    assert "not a project of this program" in refused(project_path)


def test_newer_version(project_path):
    _set(project_path, f"PRAGMA user_version = {VERSION + 1}")
    assert "newer version of the program" in refused(project_path)


@pytest.mark.parametrize("version", [0, -1])
def test_no_version(project_path, version):
    _set(project_path, f"PRAGMA user_version = {version}")
    assert "damaged" in refused(project_path)


@pytest.mark.parametrize("share", [0.01, 0.3, 0.9, 0.999])
def test_truncated(project_path, share):
    content = project_path.read_bytes()
    project_path.write_bytes(content[: int(len(content) * share)])
    assert "damaged" in refused(project_path)


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TABLE mark",
        "ALTER TABLE run RENAME COLUMN name TO title",
        "DELETE FROM film",
        "UPDATE mark SET u = 9e999",
        "UPDATE film SET time_base = '1/0', times_pts = x'0000000000000000', width = 1, height = 1",
        "UPDATE film SET times_pts = x'00', time_base = '1/2', width = 1, height = 1",
        "UPDATE footfall SET touchdown = NULL, toe_off = NULL",
        "UPDATE day SET athlete_ids = '7'",
        "UPDATE day SET question = 'why'",
        "UPDATE planned_drill SET loads = '{'",
        "UPDATE planned_drill SET block = 'rest'",
        "UPDATE drill SET content = '[]'",
        "UPDATE drill_film SET content = '[]'",
        "UPDATE drill_film SET content = json_set(content, '$.kind', 'swim')",
        "UPDATE drill SET content = json_set(content, '$.rep_s', -1)",
        "UPDATE narration SET content = '{}'",
        "UPDATE narration SET content = json_set(content, '$.run_ids', json('[]'))",
        "UPDATE recording SET content = json_set(content, '$.playhead', json('[[0]]'))",
    ],
)
def test_content_that_no_project_holds(project_path, statement):
    _set(project_path, statement)
    assert "damaged" in refused(project_path)


def test_bits_turned_over_and_ends_cut_off(project_path, tmp_path):
    whole = project_path.read_bytes()
    random = Random(3)
    outcomes = {"refused": 0, "loaded": 0}
    for number in range(150):
        content = bytearray(whole)
        for _ in range(random.choice([1, 1, 4, 64])):
            content[random.randrange(random.choice([100, 4096, len(content)]))] ^= 1 << random.randrange(8)
        if random.random() < 0.2:
            del content[random.randrange(len(content)) :]
        path = tmp_path / f"{number}" / "a.cinderlane"
        path.parent.mkdir()
        path.write_bytes(content)
        try:
            with ProjectFile.open(path) as file:
                assert isinstance(file.project, Project)
                edits = RandomEdits(number, file.project)
                for command in edits.take(2):
                    file.commit(command)
            outcomes["loaded"] += 1
        except ProjectError:
            outcomes["refused"] += 1
    assert min(outcomes.values()) > 10
