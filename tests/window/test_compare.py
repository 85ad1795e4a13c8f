"""Two runs side by side on the demo project: by keys and mouse, held against the truth of both clips."""

import json
import math

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap

from analysis.reading.laying import LockKind
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.command import Kind
from analysis.values.film import FrameNumber
from app.demo import SAMPLES
from app.marking import events as tagging
from app.marking.camera import make_place, set_path
from app.marking.events import EventRef
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import FRAMES, MARKS, project_on
from tests.window.coach import WAIT_MS, Coach

RATE = 240


class ComparingCoach(Coach):
    """A coach in front of two films; keys go to the one in hand."""

    def __init__(self, qtbot, window):
        super().__init__(qtbot, window)
        self.compare = window.compare_workspace

    @property
    def upper(self):
        return self.compare.upper_side

    @property
    def lower(self):
        return self.compare.lower_side

    def begin(self):
        """Turn to the two runs."""
        self.qtbot.waitUntil(self.window.isActiveWindow, timeout=WAIT_MS)
        self.press("Ctrl+2", on=self.view)
        self.frames()

    def press(self, keys, times=1, on=None):
        super().press(keys, times, on or self.compare.active.pane.view)

    def frames(self):
        """The frames of both films, once both are on show."""
        panes = self.upper.pane, self.lower.pane
        self.qtbot.waitUntil(lambda: all(p.shown == p.wanted for p in panes), timeout=WAIT_MS)
        return panes[0].shown, panes[1].shown


@pytest.fixture
def two(qtbot, window):
    """The demo project's two runs, side by side."""
    assert window.open_demo()
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    return coach


@pytest.fixture
def twice(qtbot, window, small):
    """Two runs on one small film, side by side."""
    assert window.open_path(project_on(small, 2))
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    return coach


@pytest.fixture(scope="module")
def truth():
    """What the renderer says of both clips."""
    names = ("wing_day1", "wing_day2")
    return [json.loads((SAMPLES / f"{name}.truth.json").read_text(encoding="utf-8")) for name in names]


def first_frame(truth, event, step=0):
    """The first frame at or after a true event: on this it is tagged."""
    time_s = truth["events"][f"{event}_s"]
    return (time_s[step - 1] if step else time_s) * RATE


def close(frames, truths, event, step=0):
    """Whether both frames are within one of the true ones."""
    return all(-1e-6 <= f - first_frame(t, event, step) <= 1 for f, t in zip(frames, truths, strict=True))


def test_it_opens_at_first_movement_of_both(two, truth):
    assert two.compare.isVisible()
    assert not two.workspace.isVisible()
    assert (two.upper.look.run.name, two.lower.look.run.name) == ("wing_day1", "wing_day2")
    assert close(two.frames(), truth, "first_movement")
    assert two.compare.bar.chooser.currentText() == "First movement"
    assert two.bench.run.name == "wing_day1"
    assert_accessible(two.window)


def test_at_first_movement_both_stay_as_far_apart_as_they_began(two, truth):
    begin = two.frames()
    two.press("Shift+Right", 12)
    two.press("Right", 3)
    assert two.frames() == (begin[0] + 123, begin[1] + 123)
    two.press("Left")
    assert two.frames() == (begin[0] + 122, begin[1] + 122)


@pytest.mark.parametrize("step", [1, 2, 3, 4])
def test_side_by_side_at_a_touchdown(two, truth, step):
    down = two.upper.look.reading.steps[step - 1].touchdown
    two.upper.pane.go_to(down)
    two.press("O")
    assert two.compare.bar.chooser.currentText() == f"Touchdown {step}"
    assert close(two.frames(), truth, "touchdown", step)


def test_side_by_side_at_all_events(two, truth):
    two.press("Shift+O")
    assert two.compare.pairing.lock.kind is LockKind.ALL_EVENTS
    for event, step in (("front_toe_off", 0), ("touchdown", 1), ("toe_off", 1), ("touchdown", 4)):
        two.press(".", 1)
        while not close((two.upper.pane.wanted,), truth[:1], event, step):
            two.press(".")
        assert close(two.frames(), truth, event, step)


def test_side_by_side_at_the_same_metre(two, truth):
    """The hips of both are at the mark when their true split says so."""
    two.press("P")
    assert two.compare.bar.trouble.text() == ""
    for x_m in (5.0, 10.0):
        split, other = (
            said["events"]["first_movement_s"]
            + next(m for m in said["marks"] if m["x_m"] == x_m)["hip"]["split_s"]
            for said in truth
        )
        two.upper.pane.go_to(round(split * RATE))
        first, second = two.frames()
        assert abs(first - split * RATE) <= 0.5
        assert abs(second - math.floor(other * RATE + first - split * RATE)) <= 1


def test_the_chooser_lays_them_side_by_side(two, truth):
    chooser = two.compare.bar.chooser
    place = chooser.findText("Front foot toe-off")
    chooser.setCurrentIndex(place)
    chooser.activated.emit(place)
    two.press(".", 2)
    assert close(two.frames(), truth, "front_toe_off")


def test_slipping_one_film_leaves_the_other(two, qtbot):
    first, second = two.frames()
    two.press("K", 3)
    assert two.frames() == (first + 3, second)
    two.press("J", 4)
    assert two.frames() == (first - 1, second)
    assert two.upper.slip.text() == "\N{MINUS SIGN}1"
    qtbot.mouseClick(two.lower.on, Qt.MouseButton.LeftButton)
    assert two.frames() == (first - 1, second + 1)
    two.press("I")  # another lock begins without slips
    assert (two.upper.slip_frames, two.lower.slip_frames) == (0, 0)


def test_swapping_takes_rail_and_frames_along(two):
    first, second = two.frames()
    before = two.upper
    two.press("K", 2)
    two.press("Y")
    assert two.lower is before
    assert two.frames() == (second, first + 2)
    assert two.upper.pane.view.accessibleName() == "Upper film, picture"
    assert two.upper.mapTo(two.compare, QPoint()).y() < two.lower.mapTo(two.compare, QPoint()).y()
    assert two.bench.run.name == "wing_day1"
    two.press("Right")
    assert two.frames() == (second + 1, first + 3)


def test_a_mirrored_picture_keeps_its_places(two):
    view = two.upper.pane.view
    mark = two.upper.look.run.marks[0]
    x, y = view.mapping.to_widget(mark.u, mark.v)
    two.press("H")
    assert view.mapping.mirrored
    there, _ = view.mapping.to_widget(mark.u, mark.v)
    assert abs(there - x) > 100
    assert view.mapping.to_picture(there, y) == pytest.approx((mark.u, mark.v), abs=1e-6)
    two.press("H")
    assert view.mapping.to_widget(mark.u, mark.v) == pytest.approx((x, y))


def test_one_scale_keeps_the_same_metre_in_line(two):
    def across(side, x_m):
        mark = next(m for m in side.look.run.marks if m.x_m == x_m and m.y_m == 0)
        return side.pane.view.mapping.to_widget(mark.u, mark.v)[0]

    def in_line():
        return all(abs(across(two.upper, x) - across(two.lower, x)) < 4 for x in (0.0, 5.0, 10.0))

    assert in_line()
    two.wheel(two.upper.pane.view, QPointF(300, 200), 3)
    assert in_line()
    two.wheel(two.lower.pane.view, QPointF(200, 100), 2)
    assert in_line()
    two.press("U")
    two.press("0")
    two.wheel(two.upper.pane.view, QPointF(300, 200), 3)
    assert not in_line()


def test_playing_moves_both_and_a_step_pauses(two):
    held = [100.0]
    clock = two.compare.ticker.clock
    clock._now = lambda: held[0]
    two.compare.ticker._timer.timeout.disconnect(two.compare.ticker.tick)
    first, second = two.frames()
    two.press("Space")
    assert clock.playing
    held[0] += 50.25 / RATE / clock.speed
    two.compare.ticker.tick()
    assert (two.upper.pane.wanted, two.lower.pane.wanted) == (first + 50, second + 50)
    two.press("Right")
    assert not clock.playing
    assert two.frames() == (first + 51, second + 51)


def test_a_loop_repeats_in_both(two):
    first, second = two.frames()
    two.press("L")
    two.press("Right", 9)
    two.press("L")
    assert two.upper.pane.strip._loop == (first, first + 9)
    assert two.lower.pane.strip._loop == (second, second + 9)
    two.press("L")
    two.press("Space")
    assert two.upper.pane.strip._loop is two.lower.pane.strip._loop is None


def test_scrubbing_one_strip_moves_both(two, qtbot):
    strip, (first, second) = two.lower.pane.strip, two.frames()
    at = QPoint(round(strip.x_of(second + 200)), strip.height() // 2)
    qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=at)
    now = two.frames()
    assert abs(now[1] - second - 200) <= 1
    assert now[0] - first == now[1] - second
    assert two.compare.active is two.lower


def test_both_rails_stand_on_one_axis(two):
    rails = two.upper.rail, two.lower.rail

    def heights(time_s):
        """Of the same moment after first movement."""
        return [rail.scale.y(time_s) for rail in rails]

    for time_s in (0.0, 0.7, 2.1):
        assert heights(time_s)[0] == pytest.approx(heights(time_s)[1], abs=0.5)
    two.wheel(rails[1], QPointF(100, 300), 3, Qt.KeyboardModifier.ControlModifier)
    assert rails[0].scale.zoom > 1.2
    assert heights(0.7)[0] == pytest.approx(heights(0.7)[1], abs=0.5)
    step = two.upper.look.reading.steps[2], two.lower.look.reading.steps[2]
    two.upper.pane.go_to(two.upper.look.reading.steps[2].touchdown)
    two.press("O", on=two.upper.pane.view)
    downs = [
        rail.scale.y(rail._content.block(s.footfall_id).top_s) for rail, s in zip(rails, step, strict=True)
    ]
    assert downs[0] == pytest.approx(downs[1], abs=0.5)


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


def test_a_film_that_has_ended_says_so(two):
    two.press("K", 30)
    two.upper.pane.go_to(719)
    _, before = two.frames()
    two.press("Right", 5)
    assert two.upper.pane.beyond == 1
    assert two.frames() == (719, before + 5)
    two.press("Left", 2)
    assert two.frames() == (719, before + 3)
    two.press("Left", 4)
    assert two.upper.pane.beyond == 0
    assert two.frames() == (718, before - 1)


def test_frame_numbers_that_grow_are_never_cut(two):
    where = two.upper.where
    two.upper.pane.go_to(99)
    two.frames()
    place = where.geometry()
    two.press("Right")
    assert two.frames()[0] == 100
    assert where.text().endswith("frame 100")
    assert where.geometry() == place
    assert where.sizeHint().width() <= where.width()


def test_either_film_can_be_any_run(two):
    chooser = two.lower.chooser
    place = chooser.findText("wing_day1")
    chooser.setCurrentIndex(place)
    chooser.activated.emit(place)
    first, second = two.frames()
    assert first == second
    assert two.upper.look.run is two.lower.look.run
    two.press("O")
    assert two.frames()[0] == two.frames()[1]


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
    two.qtbot.waitUntil(lambda: two.workspace.pane.shown == frames[0], timeout=WAIT_MS)
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


def lies_over(side):
    """What of the other run's body lies over a film: limbs, and what the legend says."""
    other = side.pane.view._scene.other
    return (0, "") if other is None else (len(other.strokes), other.words)


def test_the_other_body_lies_over_the_film_in_hand_at_its_events(two):
    down = two.upper.look.reading.steps[1].touchdown
    two.upper.pane.go_to(down)
    two.frames()
    two.press("Shift+H")
    limbs, words = lies_over(two.upper)
    assert limbs > 5
    assert words == "wing_day2, 2 R touchdown, hips together"
    assert lies_over(two.lower) == (0, "")
    assert two.upper.other_body.isChecked()
    two.press("Right")
    two.frames()
    assert lies_over(two.upper) == (0, "wing_day2: go to an event of both runs")
    two.press(",")
    two.frames()
    assert lies_over(two.upper)[0] == limbs
    two.press("Shift+U")
    assert lies_over(two.upper)[1].endswith("stance toes together")
    two.press("A")  # each film has its own
    assert not two.window.actions_table["other_body"].isChecked()
    two.press("A")
    two.press("Shift+H")
    assert lies_over(two.upper) == (0, "")


def test_the_other_body_comes_back_with_the_pair(two, qtbot):
    qtbot.mouseClick(two.lower.other_body, Qt.MouseButton.LeftButton)
    two.press("Shift+U")
    two.press("Ctrl+1")
    two.press("Ctrl+2", on=two.view)
    two.frames()
    kept = two.compare.pairing._choices.of(two.upper.look.run.id, two.lower.look.run.id)
    assert (kept.upper.other_body, kept.lower.other_body, kept.meet) == (False, True, "stance toe")
    assert two.lower.other_body.isChecked()


def test_no_legend_lies_over_the_lane_on_a_small_screen(two, qtbot):
    """The least screen: the marks on the lane show where the feet land, and the legend is a dark plate."""
    two.window.resize(1280, 800)
    qtbot.waitUntil(lambda: two.window.size().toTuple() == (1280, 800), timeout=WAIT_MS)
    for side in (two.upper, two.lower):
        view = side.pane.view
        surface = QPixmap(view.size())
        painter = QPainter(surface)
        painter.setFont(view.font())
        box = view._legend(painter).box
        painter.end()
        feet = [
            QPointF(*view._mapping.to_widget(mark.u, mark.v)) for mark in side.look.run.marks if mark.y_m == 0
        ]
        assert len(feet) >= 3
        assert not [place for place in feet if box.contains(place)]
