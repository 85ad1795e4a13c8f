"""Posture over a frame: places written by hand, so that lines, angles and ticks follow by arithmetic."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.report.mass_path import TICK_PX, path_scene
from analysis.report.posture_lines import NOTHING, Drawn, Layer, with_posture
from analysis.report.scene import Look, Scene
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FrameNumber
from analysis.values.posture import MassPath, Moment, PostureReading, Series
from analysis.values.reading import CameraReading
from analysis.values.run import BodyPoint, Direction, Line, LineKind, Run, Side
from tests.app.rail.invented import a_reading, a_run

FRAME = 40
PLACES = {
    "left_hip": (100.0, 200.0), "right_hip": (110.0, 200.0), "left_shoulder": (150.0, 110.0),
    "right_shoulder": (160.0, 110.0), "mid_back": (120.0, 150.0), "neck": (152.0, 100.0),
    "right_knee": (140.0, 260.0), "right_ankle": (110.0, 320.0), "left_knee": (90.0, 262.0),
    "left_ankle": (40.0, 280.0), "right_heel": (100.0, 330.0), "right_toe": (125.0, 334.0),
}  # fmt: skip


def run_with(places=PLACES, **changed) -> Run:
    points = tuple(BodyPoint(FrameNumber(FRAME), name, *place) for name, place in places.items())
    return replace(a_run(), points=points, **changed)


def series(measure, side, value):
    one = np.array([value])
    return Series(measure, side, np.array([FRAME]), one, np.ones(1), np.zeros(1, bool))


READING = replace(
    a_reading(a_run()),
    series=(
        series("trunk_deg", None, 60.9),
        series("shin_deg", Side.RIGHT, 63.4),
        series("spine_bend_deg", None, 9.6),
    ),
)


def drawn(*layers, **kinds):
    return Drawn(frozenset(layers), **kinds)


def over(run, wanted, frame=FRAME, reading=READING, near=Side.RIGHT):
    return with_posture(Scene(), run, reading, frame, near, None, wanted, lambda frames, pixels: pixels)


def lines(scene):
    return {stroke.id: stroke for stroke in scene.strokes}


def test_the_trunk_goes_from_mid_hip_to_mid_shoulder_with_its_angle():
    (trunk,) = over(run_with(), drawn(Layer.TRUNK)).strokes
    assert (trunk.start, trunk.end) == ((105.0, 200.0), (155.0, 110.0))
    assert trunk.label == "61°"


def test_the_spine_is_drawn_in_two_pieces_and_says_how_far_it_is_rounded():
    low, high = over(run_with(), drawn(Layer.SPINE)).strokes
    assert low.end == high.start == (120.0, 150.0)
    assert (low.label, high.label) == ("", "10°")


def test_a_far_shin_is_told_from_a_near_one_and_one_without_an_angle_has_no_label():
    found = lines(over(run_with(), drawn(Layer.SHINS)))
    near, far = found["posture:right_ankle-right_knee"], found["posture:left_ankle-left_knee"]
    assert (near.far, far.far) == (False, True)
    assert (near.label, far.label) == ("63°", "")


def test_any_two_points_have_a_line_with_the_angle_that_was_asked_for():
    pair = ("right_ankle", "neck")
    asked = replace(READING, lines_between=(replace(series("line_deg", None, 79.2), between=pair),))
    (line,) = over(run_with(), drawn(between=(pair,)), reading=asked).strokes
    assert (line.start, line.end, line.label) == (PLACES["right_ankle"], PLACES["neck"], "79°")
    assert over(run_with(), drawn(between=(pair,))).strokes[0].label == ""
    assert not over(run_with(), drawn(between=(pair,), everywhere=False)).strokes


def test_a_line_that_the_coach_drew_is_not_drawn_twice():
    own = Line("a", FrameNumber(FRAME), LineKind.SHIN, Side.RIGHT, (110.0, 320.0), (140.0, 260.0))
    found = lines(over(run_with(lines=(own,)), drawn(Layer.SHINS)))
    assert list(found) == ["posture:left_ankle-left_knee"]


@pytest.mark.parametrize(("direction", "way"), [(Direction.RIGHT, 1.0), (Direction.LEFT, -1.0)])
def test_the_forward_horizontal_lies_at_the_lower_end_the_way_the_run_goes(direction, way):
    _, level = over(run_with(direction=direction), drawn(Layer.TRUNK, Layer.HORIZONTAL)).strokes
    assert level.start == (105.0, 200.0)
    length = 0.8 * np.hypot(50.0, 90.0)
    assert level.end == pytest.approx((105.0 + way * length, 200.0))


def test_a_rolled_camera_tilts_the_horizontal_with_the_ground():
    """By camera roll as the reading defines it: the level rises to the right by so much."""
    none = NoValue("")
    rolled = CameraReading(Estimate(2.0, 0.1, 1.8, 2.2), none, none, none)
    _, level = over(
        run_with(), drawn(Layer.TRUNK, Layer.HORIZONTAL), reading=replace(READING, camera=rolled)
    ).strokes
    rise = (level.start[1] - level.end[1]) / (level.end[0] - level.start[0])
    assert np.degrees(np.arctan(rise)) == pytest.approx(2.0)


def test_on_chosen_frames_alone_others_stay_bare():
    wanted = drawn(Layer.TRUNK, everywhere=False, frames=frozenset({FRAME + 1}))
    assert not over(run_with(), wanted).strokes
    assert over(run_with(), replace(wanted, frames=frozenset({FRAME}))).strokes
    assert not over(run_with(), NOTHING).strokes


def test_a_measure_in_focus_draws_what_it_rests_on_and_where():
    frames = (FrameNumber(FRAME - 1), FrameNumber(FRAME))
    knee = PostureReading("knee_deg", 1, Moment.TOUCHDOWN, Side.RIGHT, Estimate(1, 1, 0, 2), frames)
    found = lines(over(run_with(), replace(NOTHING, focus=knee)))
    assert set(found) == {"posture:right_ankle-right_knee", "posture:right_knee-right_hip"}
    assert not over(run_with(), replace(NOTHING, focus=knee._replace(frames=(FrameNumber(3),)))).strokes


def a_path(guessed=()):
    frames = np.array([38, 39, 40, 41, 50, 51])
    pixels = np.stack([2.0 * frames, 100.0 + frames], axis=1)
    flags = np.isin(frames, guessed)
    return MassPath(frames, pixels, pixels / 100, pixels / 1000, np.zeros(6, bool), flags)


def test_the_path_breaks_where_frames_are_missing_and_is_dotted_where_it_is_guessed():
    reading = replace(READING, mass_path=a_path(guessed=[41]))
    scene = path_scene(reading, None, 39, lambda frames, pixels: pixels)
    ends = [(trail.places[0][0] / 2, trail.places[-1][0] / 2, trail.look) for trail in scene.trails]
    # without tracks every point was placed, and what lies between two placed frames was followed
    assert [(a, b) for a, b, _ in ends] == [(38, 41), (50, 51)]
    assert (scene.dots[0].u, scene.dots[0].centre, scene.dots[0].look) == (78.0, True, Look.PLACED)


def test_a_touchdown_has_a_tick_down_and_a_toe_off_one_up():
    reading = replace(READING, mass_path=a_path())
    ticks = lines(path_scene(reading, None, 0, lambda frames, pixels: pixels))
    down = ticks["mass:touchdown:1"]
    assert down.start == (80.0, 140.0)
    assert down.end == (80.0, 140.0 + TICK_PX)
    assert all("toe_off" not in name or t.end[1] < t.start[1] for name, t in ticks.items())


def test_touchdown_distance_is_drawn_from_the_mass_to_the_ball_of_the_foot():
    """Ball of the foot: heel + 0.72 (tip - heel), docs/measures.md."""
    focus = PostureReading(
        "touchdown_distance_m",
        1,
        Moment.TOUCHDOWN,
        Side.RIGHT,
        Estimate(0.35, 0.02, 0.31, 0.39),
        (FrameNumber(FRAME),),
    )
    reading = replace(READING, mass_path=a_path())
    found = lines(over(run_with(), replace(NOTHING, focus=focus), reading=reading))
    assert found["mass:ball"].label == "0.35 m"
    assert found["mass:ball"].end == pytest.approx((118.0, 330.0 + 0.72 * 4.0))
    assert found["mass:down"].start == (80.0, 140.0)


def test_a_path_of_a_turning_camera_is_taken_to_the_frame_on_show():
    reading = replace(READING, mass_path=a_path())
    scene = path_scene(reading, None, 40, lambda frames, pixels: pixels + np.array([7.0, 0.0]))
    assert scene.trails[0].places[0] == (2 * 38 + 7.0, 138.0)
