"""Project files for the tests of the store."""

import shutil

import pytest

from analysis.store import ProjectFile
from analysis.values.project import PART_FIELDS, WHOLE_FIELDS
from tests.helpers.random_edits import RandomEdits


@pytest.fixture(scope="session")
def _made_once(tmp_path_factory):
    """A project file with a hundred edits in it and more, so that it holds something of every kind."""
    path = tmp_path_factory.mktemp("made") / "club.cinderlane"
    edits = RandomEdits(7)
    with ProjectFile.create(path) as file:
        for command in edits.take(100):
            file.commit(command)
        while not _holds_every_kind(file.project):
            (command,) = edits.take(1)
            file.commit(command)
    return path


def _holds_every_kind(project):
    marked = any(all(getattr(run, name) for name in PART_FIELDS.values()) for run in project.runs.values())
    return marked and all(getattr(project, name) for name in WHOLE_FIELDS.values())


@pytest.fixture
def project_path(tmp_path, _made_once):
    """A project file with something of every kind in it, closed."""
    return shutil.copy(_made_once, tmp_path / _made_once.name)


@pytest.fixture
def open_file(project_path):
    """The same file, open."""
    with ProjectFile.open(project_path) as file:
        yield file
