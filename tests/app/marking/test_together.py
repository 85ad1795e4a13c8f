"""Two benches on one project: each edit may be right, and both together wrong."""

import pytest

from analysis.values.errors import ProjectError
from analysis.values.run import Side
from app.bench import Bench
from app.marking import events
from app.marking.events import EventRef
from tests.helpers.films import project_on, small_film


@pytest.fixture
def two(qapp, tmp_path):
    """Two benches on one project, of which neither knows of the other."""
    path = project_on(small_film(tmp_path / "run.mp4"))
    benches = Bench(), Bench()
    for bench in benches:
        bench.open_project(path)
    yield benches
    for bench in benches:
        bench.close()


def test_tags_that_contradict_each_other_are_not_both_stored(two):
    here, there = two
    here.edit(events.tag_touchdown(here.run, 250, Side.RIGHT)[0])
    command = events.tag_touchdown(there.run, 250, Side.RIGHT)[0]  # right by what this bench has seen
    heard = []
    there.said.connect(heard.append)
    with pytest.raises(ProjectError, match=r"changed elsewhere.*Two touchdowns stand on frame 250"):
        there.edit(command)
    assert there.project == here.project
    assert there.run == here.run  # what stands against it is shown
    assert there.stack.count() == 0


def test_edits_that_go_together_are_both_stored(two):
    here, there = two
    here.edit(events.tag_touchdown(here.run, 250, Side.RIGHT)[0])
    there.edit(events.move_event(there.run, EventRef("a", "touchdown"), 92))
    here.take_in()
    assert here.project == there.project
    assert (here.run.footfalls[0].touchdown, here.run.footfalls[-1].touchdown) == (92, 250)


def test_an_undo_that_would_contradict_the_other_window_is_refused(two):
    here, there = two
    here.edit(events.delete_event(here.run, EventRef("c", "touchdown")))
    there.take_in()
    there.edit(events.tag_touchdown(there.run, 196, Side.LEFT)[0])
    heard = []
    here.said.connect(heard.append)
    here.undo()
    assert len([f for f in here.project.runs["run0"].footfalls if f.touchdown == 196]) == 1
    assert "can't be taken back" in heard[-1]


def test_taking_in_nothing_shows_nothing_anew(two):
    here, _ = two
    shown = []
    here.run_changed.connect(shown.append)
    here.take_in()
    assert not shown
