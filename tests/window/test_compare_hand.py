"""Two films side by side: the one in hand takes the keys and the edits, and each can be any run."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt

from analysis.values.camera import CameraKind, CameraPath
from analysis.values.command import Kind
from analysis.values.film import FrameNumber
from app.marking import events as tagging
from app.marking.camera import make_place, set_path
from app.marking.events import EventRef
from tests.helpers.films import FRAMES, MARKS, project_on


def test_the_film_in_hand_takes_the_keys_and_both_are_undone(two):
    first = two.upper.look.run.footfalls[0].touchdown
    second = two.lower.look.run.footfalls[0].touchdown
    two.press("A")
    assert two.bench.run.name == "wing_day2"
    two.press(".", 3)
    two.frames()
    assert two.bench.frame == second
    two.press("Ctrl+Right")
    assert two.lower.look.run.footfalls[0].touchdown == second + 1
    two.press("A")
    two.upper.pane.go_to(first)
    two.frames()
    two.bench.select(EventRef(two.upper.look.run.footfalls[0].id, "touchdown"))
    two.press("Ctrl+Left")
    assert two.upper.look.run.footfalls[0].touchdown == first - 1
    two.press("Ctrl+Z")
    assert two.upper.look.run.footfalls[0].touchdown == first
    two.press("Ctrl+Z")
    assert two.lower.look.run.footfalls[0].touchdown == second
    assert two.compare.active is two.lower
    assert two.bench.run.name == "wing_day2"
    two.press("Ctrl+Y", 2)
    assert two.upper.look.run.footfalls[0].touchdown == first - 1


def test_moving_the_event_at_which_they_meet_lays_them_anew(two):
    first, second = two.frames()
    two.bench.select(EventRef("", "first_movement"))
    two.press("Ctrl+Right", 2)
    now = two.frames()
    assert now == (first + 2, second)


def test_a_click_takes_the_other_film_in_hand_without_moving_either(two, qtbot):
    before = two.frames()
    view = two.lower.pane.view
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=QPoint(view.width() - 30, 30))
    assert two.compare.active is two.lower
    assert two.bench.run.name == "wing_day2"
    assert two.frames() == before
    assert two.bench.frame == before[1]


def test_a_line_drawn_on_one_film_belongs_to_its_run(two):
    lines = len(two.upper.look.run.lines), len(two.lower.look.run.lines)
    two.press("A")
    two.press("G")
    two.view = two.lower.pane.view
    two.drag((700.0, 400.0), (760.0, 330.0))
    assert len(two.lower.look.run.lines) == lines[1] + 1
    assert len(two.upper.look.run.lines) == lines[0]
    (drawn,) = (line for line in two.lower.look.run.lines if line.kind == "free")
    assert drawn.frame == two.lower.pane.shown
    two.press("Ctrl+Z")
    assert len(two.lower.look.run.lines) == lines[1]


def test_a_rail_edge_dragged_edits_its_own_run(two, qtbot):
    rail = two.lower.rail
    footfall = two.lower.look.run.footfalls[2]
    block = rail._content.block(footfall.id)
    x = round(rail._columns.track_x(block.track) + rail._columns.track / 2)
    y = round(rail.scale.y(block.top_s))
    qtbot.mousePress(rail, Qt.MouseButton.LeftButton, pos=QPoint(x, y - 1))
    qtbot.mouseMove(rail, QPoint(x, y - 6))
    qtbot.mouseMove(rail, QPoint(x, y - 12))
    qtbot.mouseRelease(rail, Qt.MouseButton.LeftButton, pos=QPoint(x, y - 12))
    moved = tagging.frame_of(two.lower.look.run, EventRef(footfall.id, "touchdown"))
    assert moved < footfall.touchdown
    assert two.bench.run.name == "wing_day2"
    two.press("Ctrl+Z")
    assert two.lower.look.run.footfalls[2].touchdown == footfall.touchdown


def choose(side, name):
    """Choose a run for a film, as a click in the list does."""
    place = side.chooser.findText(name)
    side.chooser.setCurrentIndex(place)
    side.chooser.activated.emit(place)


def test_either_film_can_be_any_run(two):
    """The film that is not chosen anew stays where it is, and the other one comes to it."""
    two.upper.pane.go_to(two.upper.look.reading.steps[2].touchdown)
    stood = two.frames()[0]
    choose(two.lower, "wing_day1")
    assert two.frames() == (stood, stood)
    assert two.upper.look.run is two.lower.look.run
    two.press("O")
    assert two.frames() == (stood, stood)
    choose(two.upper, "wing_day2")
    downs = [side.look.reading.steps[2].touchdown for side in (two.upper, two.lower)]
    assert two.frames() == tuple(downs)


def test_a_film_that_is_still_to_be_read_comes_to_where_the_other_stands(two):
    down = two.upper.look.reading.steps[2].touchdown
    two.upper.pane.go_to(down)
    two.press("O")
    second = two.frames()[1]
    choose(two.lower, "wing_day1")
    two.frames()
    kept = two.bench.films._outcomes
    del kept[next(key for key in kept if "wing_day2" in key[0])]
    choose(two.lower, "wing_day2")
    two.qtbot.waitUntil(lambda: two.lower.pane.film is not None and two.lower.look.run.name == "wing_day2")
    assert two.frames() == (down, second)


def test_another_run_of_the_same_film(twice):
    coach = twice
    assert coach.upper.look.film is coach.lower.look.film
    assert coach.frames() == (20, 20)
    coach.bench.select(EventRef("", "first_movement"))
    coach.press("Ctrl+Left", 4)
    assert coach.upper.look.run.start.first_movement == 16
    assert coach.lower.look.run.start.first_movement == 20
    assert coach.frames() == (16, 20)
    coach.press("Ctrl+Z", 4)
    assert coach.frames() == (20, 20)


def test_without_the_event_it_says_so(twice):
    coach = twice
    coach.bench.select(EventRef("", "first_movement"))
    coach.press("Del")
    assert "not tagged in both" in coach.compare.bar.trouble.text()
    coach.press("P")
    assert "hips" in coach.compare.bar.trouble.text()
    coach.press("I")
    coach.press("Ctrl+Z")
    assert coach.compare.bar.trouble.text() == ""


def test_there_and_back_the_frame_stays(two):
    two.press("Right", 7)
    frames = two.frames()
    two.press("Ctrl+1")
    two.qtbot.waitUntil(lambda: two.workspace.pane.shown == frames[0])
    assert two.upper.pane.film is two.lower.pane.film is None
    assert not two.window.actions_table["swap_films"].isEnabled()
    two.press("Ctrl+2", on=two.view)
    assert two.frames() == frames
    assert two.workspace.pane.film is None


def test_another_project_takes_both_away(two, small):
    assert two.window.open_path(project_on(small))
    two.frames()
    assert two.upper.look.run.name == two.lower.look.run.name == "first"
    two.window.bench.close()
    assert two.upper.look is two.lower.look is None
    assert two.upper.pane.film is None


def test_marks_go_with_the_background_of_a_camera_that_turned(twice):
    """A pixel to the right for each frame: what stood at u on frame 20 stands at u - 70 on frame 90."""
    bench = twice.bench
    maps = np.tile(np.eye(3), (FRAMES, 1, 1))
    maps[:, 0, 2] = np.arange(FRAMES)
    path = CameraPath(CameraKind.TURNING, FrameNumber(0), FrameNumber(0), maps, np.zeros(FRAMES))
    bench.edit(set_path(bench.project, bench.run.film_id, path))
    frames = dict(zip((twice.upper, twice.lower), twice.frames(), strict=True))
    for side, frame in frames.items():
        marks = [dot for dot in side.pane.view._scene.dots if dot.kind is Kind.MARK]
        assert [dot.u for dot in marks] == pytest.approx([u + 20 - frame for _, u in MARKS], abs=1e-6)
    twice.press("Right", 15)
    assert twice.frames() != tuple(frames.values())
    for side, frame in zip((twice.upper, twice.lower), twice.frames(), strict=True):
        marks = [dot for dot in side.pane.view._scene.dots if dot.kind is Kind.MARK]
        assert [dot.u for dot in marks] == pytest.approx([u + 20 - frame for _, u in MARKS], abs=1e-6)


def test_a_camera_place_lends_its_marks_to_both(twice):
    bench = twice.bench
    facts = bench.facts
    bench.edit(make_place(bench.project, bench.run, "lane 4", (facts.width, facts.height)))
    dots = [d for d in twice.compare.active.pane.view._scene.dots if d.kind is Kind.MARK]
    assert [round(dot.u) for dot in dots] == [round(u) for _, u in MARKS]
