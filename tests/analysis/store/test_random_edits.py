"""Whatever is done can be undone, saved and read again exactly."""

import struct

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analysis.store import ProjectFile
from analysis.values.command import Kind
from analysis.values.project import Project, apply
from tests.helpers.random_edits import RandomEdits
from tests.helpers.strategies import commands, projects


def _deed(change):
    return "add" if change.old is None else "remove" if change.new is None else "change"


def test_a_thousand_edits_touch_every_kind_in_every_way():
    done = {(c.kind, _deed(c)) for command in RandomEdits(2).take(1000) for c in command.changes}
    assert done == {(kind, deed) for kind in Kind for deed in ("add", "change", "remove")}


@settings(max_examples=20)
@given(st.integers(0, 2**32))
def test_two_hundred_edits_undone_give_back_the_first_project(seed):
    first = RandomEdits(seed)
    first.take(30)
    edits = RandomEdits(seed + 1, first.project)
    project = first.project
    done = edits.take(200)
    for command in done:
        project = apply(project, command)
    assert project == edits.project
    for command in reversed(done):
        project = apply(project, command.reversed)
    assert project == first.project


def test_the_same_through_the_file(tmp_path):
    path = tmp_path / "club.cinderlane"
    edits = RandomEdits(11)
    with ProjectFile.create(path) as file:
        for command in edits.take(20):
            file.commit(command)
        first = file.project
        done = edits.take(200)
        for command in done:
            file.commit(command)
        assert file.project == edits.project
    with ProjectFile.open(path) as file:
        assert _exactly(file.project) == _exactly(edits.project)
        for command in reversed(done):
            file.commit(command.reversed)
        assert file.project == first
    with ProjectFile.open(path) as file:
        assert _exactly(file.project) == _exactly(first)


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(projects(), st.data())
def test_any_command_and_back(project, data):
    command = data.draw(commands(project))
    after = apply(project, command)
    assert apply(after, command.reversed) == project


def _exactly(project: Project):
    """The project with each float as its bits and each collection in its order."""
    return _bits(project)


def _bits(value):
    if isinstance(value, float):
        return struct.pack(">d", value)
    if isinstance(value, np.ndarray):
        return value.dtype, value.shape, value.tobytes()
    if isinstance(value, dict):
        return [(key, _bits(item)) for key, item in sorted(value.items())]
    if isinstance(value, tuple | list):
        return [_bits(item) for item in value]
    if hasattr(value, "__dataclass_fields__"):
        return [type(value), *(_bits(getattr(value, name)) for name in value.__dataclass_fields__)]
    return type(value), value
