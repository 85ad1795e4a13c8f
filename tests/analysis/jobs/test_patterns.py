"""An own pattern taken from the good runs of a project."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.jobs.patterns import good_runs, take_pattern
from analysis.sheet import read_sheet
from analysis.store import ProjectFile
from analysis.values.bands import BandOrigin
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import BandError
from analysis.values.project import run_changes
from analysis.values.starting_bands import bands_for
from tests.analysis.reading.runs import SAMPLES, sample


@pytest.fixture(scope="module")
def project_path(tmp_path_factory):
    """Six runs of one athlete on one film, five of them named as good."""
    found = read_sheet(sample("wing_day2")[0], SAMPLES)
    path = tmp_path_factory.mktemp("good") / "good.cinderlane"
    film = FilmEntry("film", "", "", facts=found.facts)
    added = [Change(Kind.FILM, "film", None, film), Change(Kind.ATHLETE, "athlete", None, found.athlete)]
    for n in range(6):
        run = replace(found.run, id=f"run{n}", named_good=n > 0)
        added += run_changes(run)
    with ProjectFile.create(path) as file:
        file.commit(Command("add", tuple(added)))
    return path


def test_the_pattern_of_the_good_runs_is_a_command_that_counts_before_the_starting_bands(project_path):
    command = take_pattern(project_path, "athlete")
    with ProjectFile.open(project_path) as file:
        assert [run.id for run in good_runs(file.project, "athlete")] == [f"run{n}" for n in range(1, 6)]
        project = file.commit(command)
        (table,) = project.band_tables.values()
        assert (table.origin, table.version, table.runs) == (BandOrigin.OWN_PATTERN, 1, 5)
        assert table.made_at[:2] == "20"  # a year
        assert table.name == "Own pattern of W7"
        run = project.runs["run0"]
        counts = bands_for(run, project.athletes["athlete"], project.band_tables.values())
        assert [t.origin for t in counts] == [BandOrigin.OWN_PATTERN, BandOrigin.STARTING]
    again = take_pattern(project_path, "athlete")
    assert (again.changes[0].new.version, again.changes[0].new.name) == (2, "Own pattern of W7")
    with ProjectFile.open(project_path) as file:
        assert file.project == project


def test_too_few_good_runs_are_said_before_any_is_read(project_path):
    with pytest.raises(BandError, match="at least 5 good runs; 0 are named"):
        take_pattern(project_path, "nobody")
