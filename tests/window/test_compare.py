"""Two runs side by side on the demo project: by keys and mouse, held against the truth of both clips."""

import json
import math

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt

from analysis.reading.laying import LockKind
from app.demo import SAMPLES
from tests.helpers.accessible import assert_accessible

RATE = 240


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
    # the frames on show stand at one height of the rails, of which times begin at first movement
    moved = [side.look.run.start.first_movement for side in (two.upper, two.lower)]
    for now in (two.frames(), tuple(frame + 60 for frame in two.frames())):
        at = [
            side.rail.scale.y((frame - begin) / 240)
            for side, frame, begin in zip((two.upper, two.lower), now, moved, strict=True)
        ]
        assert at[0] == pytest.approx(at[1], abs=0.5)
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


def test_a_loop_stays_when_films_are_swapped_or_laid_anew(two):
    first, second = two.frames()
    two.press("L")
    two.press("Right", 9)
    two.press("L")
    clock = two.compare.ticker.clock
    assert clock.playing
    two.press("Y")
    assert clock.playing
    loops = [side.pane.strip._loop for side in (two.lower, two.upper)]
    assert loops == [(first, first + 9), (second, second + 9)]
    two.press("Space")
    down = [side.look.reading.steps[0].touchdown for side in (two.lower, two.upper)]
    two.press("Shift+O")
    assert clock.loop is not None
    assert two.lower.pane.strip._loop == (first, first + 9)
    two.press("L")
    assert clock.loop is None
    two.lower.pane.go_to(down[0])
    assert two.frames() == (down[1], down[0])


def test_no_loop_is_shown_where_there_is_none(two):
    """Another film comes to the side over which it lay."""
    two.press("L")
    two.press("Right", 9)
    two.press("L")
    chooser = two.upper.chooser
    for name in ("wing_day2", "wing_day1"):
        place = chooser.findText(name)
        chooser.setCurrentIndex(place)
        chooser.activated.emit(place)
        two.frames()
        shown = [side.pane.strip._loop is not None for side in (two.upper, two.lower)]
        assert shown == [two.compare.ticker.clock.loop is not None] * 2


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
