"""A table of gate times into a project from the command line, and against its films."""

import json

import pytest

from analysis.cli import main
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.conditions import Conditions
from analysis.values.errors import ProjectError
from analysis.values.project import bare
from analysis.values.run import Athlete
from tests.helpers.films import project_on, small_film


@pytest.fixture
def project(tmp_path):
    """A small film's run, of an athlete, on a day."""
    path = project_on(small_film(tmp_path / "rep.mp4"))
    with ProjectFile.open(path) as file:
        athlete = Athlete("a", "W7")
        (run,) = map(bare, file.project.runs.values())
        told = type(run)(**{**vars(run), "athlete_id": "a", "conditions": Conditions(day="2026-03-06")})
        changes = (Change(Kind.ATHLETE, "a", None, athlete), Change(Kind.RUN, run.id, run, told))
        file.commit(Command("", changes))
    return path


def test_times_come_in_once_and_bad_lines_are_said(project, tmp_path, capfd):
    table = tmp_path / "gates.csv"
    table.write_text(
        "date;athlete;distance_m;time_s\n6.3.2026;w7;5;1,62\n6.3.2026;X9;5;1,70\n6.3.2026;W7;5;1,62\n",
        encoding="utf-8",
    )
    assert main(["gates", str(project), str(table)]) == 0
    said = capfd.readouterr()
    (found,) = json.loads(said.out)
    assert (found["athlete"], found["date"], found["distance_m"]) == ("W7", "2026-03-06", 5.0)
    assert found["times_s"] == [1.62, 1.62]
    assert "Line 3: no athlete is called X9" in said.err
    assert main(["gates", str(project), str(table)]) == 0
    said = capfd.readouterr()
    assert "2 times were there already" in said.err
    with ProjectFile.open(project) as file:
        assert len(file.project.gates) == 2


def test_an_athlete_with_times_stays(project, tmp_path):
    table = tmp_path / "gates.csv"
    table.write_text("date,athlete,distance_m,time_s\n2026-03-06,W7,5,1.62\n", encoding="utf-8")
    assert main(["gates", str(project), str(table)]) == 0
    with ProjectFile.open(project) as file:
        (run,) = map(bare, file.project.runs.values())
        free = type(run)(**{**vars(run), "athlete_id": None})
        file.commit(Command("", (Change(Kind.RUN, run.id, run, free),)))
        gone = Change(Kind.ATHLETE, "a", file.project.athletes["a"], None)
        with pytest.raises(ProjectError, match="times from gates"):
            file.commit(Command("", (gone,)))


def test_a_file_that_is_no_table_is_said(project, tmp_path, capfd):
    (tmp_path / "x.csv").write_bytes(b"\xff\xfe\x00")
    assert main(["gates", str(project), str(tmp_path / "x.csv")]) == 2
    assert "can't be read as a table" in capfd.readouterr().err
