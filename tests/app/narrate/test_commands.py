"""Narrations as commands: what was spoken goes together with its narration, and comes back with it."""

import pytest

from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import ProjectError
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Stop
from analysis.values.project import Project, apply, run_changes
from analysis.values.recording import Recording, Shown
from analysis.values.run import Run
from app.narrate import commands


def stop(frame):
    return Stop(f"s{frame}", FrameNumber(frame))


def spoken(name):
    return Recording(name, b"sound", 4.0, (Shown(0.0, FrameNumber(0)),))


@pytest.fixture
def project():
    film = Change(Kind.FILM, "f", None, FilmEntry("f", "/a.mp4", "digest"))
    runs = [Run(name, "f", name, FrameNumber(0), FrameNumber(99)) for name in ("a", "b")]
    project = apply(Project(), Command("", (film, *(c for run in runs for c in run_changes(run)))))
    return apply(project, commands.change(project, Narration("n", "Narration 1", ("a",)), ""))


def one(project):
    return project.narrations["n"]


def test_what_is_spoken_replaces_what_was_and_undo_brings_it_back(project):
    first = apply(project, commands.speak(project, one(project), spoken("x"), ""))
    again = commands.speak(first, one(first), spoken("y"), "")
    second = apply(first, again)
    assert set(second.recordings) == {"y"}
    assert one(second).recording_id == "y"
    assert apply(second, again.reversed) == first
    silent = apply(second, commands.speak(second, one(second), None, ""))
    assert not silent.recordings


def test_removing_a_narration_removes_its_voice(project):
    told = apply(project, commands.speak(project, one(project), spoken("x"), ""))
    gone = commands.remove(told, one(told))
    assert not apply(told, gone).recordings
    assert apply(apply(told, gone), gone.reversed) == told


def test_a_run_that_is_told_of_stays(project):
    with pytest.raises(ProjectError, match="remove the narration first"):
        apply(project, Command("", tuple(c.reversed for c in run_changes(project.runs["a"]))))


def test_two_parts_are_two_narrations(project):
    told = apply(project, commands.speak(project, one(project), spoken("x"), ""))
    parted = apply(told, commands.split_in_two(told, one(told), (spoken("p"), spoken("q"))))
    assert set(parted.recordings) == {"p", "q"}
    assert {t.name: t.recording_id for t in parted.narrations.values()} == {
        "Narration 1": "p",
        "Narration 1, part 2": "q",
    }


def test_names_and_whose_they_are(project):
    assert commands.fresh(project, ("a",)).name == "Narration 2"
    assert commands.fresh(project, ("b",)).name == "Narration 1"
    pair = apply(project, commands.change(project, Narration("p", "pair", ("b", "a")), ""))
    assert [t.id for t in commands.of_runs(pair, ("a", "b"))] == ["p"]
    assert [t.id for t in commands.of_runs(pair, ("a",))] == ["n"]


@pytest.mark.parametrize(
    ("frames", "new", "place"), [((), 5, 0), ((1, 9), 5, 1), ((1, 5), 5, 2), ((9, 1), 5, 2)]
)
def test_a_new_stop_stands_by_its_frame_where_all_do(frames, new, place):
    told = Narration("n", "", ("a",), tuple(map(stop, frames)))
    assert commands.place_for(told, stop(new)) == place


def test_no_stop_leaves_the_list():
    told = Narration("n", "", ("a",), (stop(1), stop(2)))
    assert commands.stepped(told, "s1", -1) == told
    assert commands.stepped(told, "s2", 1) == told
    assert commands.stepped(told, "gone", 1) == told
    assert [s.frame for s in commands.stepped(told, "s1", 1).stops] == [2, 1]
