"""Project files for the tests of the store."""

import pytest

from analysis.store import ProjectFile
from tests.helpers.random_edits import RandomEdits


@pytest.fixture
def project_path(tmp_path):
    """A project file with a few dozen edits in it, closed."""
    path = tmp_path / "club.cinderlane"
    with ProjectFile.create(path) as file:
        for command in RandomEdits(7).take(90):
            file.commit(command)
    return path


@pytest.fixture
def open_file(project_path):
    """The same file, open."""
    with ProjectFile.open(project_path) as file:
        yield file
