"""What is being typed when something else comes is kept, and for the run that it was typed for."""

import pytest

from analysis.store import ProjectFile
from tests.helpers.films import project_on


@pytest.fixture
def typing(marked, qtbot):
    """A coach in the middle of a note."""
    facts = marked.workspace.facts
    marked.workspace.panels.show_panel(facts)
    qtbot.waitUntil(facts.notes.isVisible)
    facts.notes.setFocus()
    qtbot.keyClicks(facts.notes, "windy")
    return marked


def notes(path) -> dict[str, str]:
    """The notes of every run, as the file has them."""
    with ProjectFile.open(path) as file:
        return {run.name: run.notes for run in file.project.runs.values()}


def test_another_run_does_not_take_the_note(typing):
    typing.window.actions_table["new_run"].trigger()
    typing.wait_for_picture()
    typing.view.setFocus()
    assert notes(typing.bench.path) == {"first": "windy", "first 2": ""}


def test_closing_the_window_keeps_it(typing):
    path = typing.bench.path
    typing.window.close()
    assert notes(path) == {"first": "windy"}


def test_opening_another_project_keeps_it(typing, clip, tmp_path):
    path = typing.bench.path
    other = tmp_path / "other.mp4"
    other.write_bytes(clip.read_bytes())
    assert typing.window.open_path(project_on(other))
    typing.wait_for_picture()
    assert notes(path) == {"first": "windy"}
    assert notes(typing.bench.path) == {"first": ""}
