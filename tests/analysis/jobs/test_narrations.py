"""Narrations are listed, and found by what somebody calls them."""

import json

import pytest

from analysis import cli
from analysis.jobs.narrations import find_narration
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import NarrationError
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Stop
from analysis.values.project import Project
from tests.helpers.films import project_on, small_film


def told(name, words="", run_id="run0"):
    return Narration(name, words, (run_id,), (Stop("s", FrameNumber(90), "hips “tall”, =1+1"),))


@pytest.fixture
def project():
    known = (told("abc1", "start"), told("abd2", "start"), told("x3", "strike"))
    return Project(narrations={one.id: one for one in known})


@pytest.mark.parametrize(("wanted", "found"), [("abc1", "abc1"), ("abd", "abd2"), ("strike", "x3")])
def test_found_by_id_its_beginning_or_name(project, wanted, found):
    assert find_narration(project, wanted).id == found


@pytest.mark.parametrize(
    ("wanted", "words"),
    [("ab", "Several narrations"), ("start", "Several narrations"), ("no", "No narration is called")],
)
def test_else_those_that_there_are_are_named(project, wanted, words):
    with pytest.raises(NarrationError, match=words) as caught:
        find_narration(project, wanted)
    assert "abc1\tstart" in str(caught.value)
    with pytest.raises(NarrationError, match="holds no narration"):
        find_narration(Project(), wanted)


def test_listed_from_the_command_line(tmp_path, capfdbinary):
    path = project_on(small_film(tmp_path / "clip.mp4"))
    with ProjectFile.open(path) as file:
        file.commit(Command("", (Change(Kind.NARRATION, "n", None, told("n", "first strike")),)))
    assert cli.main(["narrations", str(path)]) == 0
    (listed,) = json.loads(capfdbinary.readouterr().out)["narrations"]
    assert (listed["id"], listed["name"], listed["spoken_s"]) == ("n", "first strike", None)
    assert listed["runs"] == [{"id": "run0", "name": "first"}]
    (stop,) = listed["stops"]
    assert (stop["frame"], stop["words"]) == (90, "hips “tall”, =1+1")
    assert stop["drawn"] == ["lines", "body", "numbers"]
