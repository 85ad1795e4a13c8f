"""Marks that are *about*, beside the line; lane and stature; marks that are wrong."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.ground.bend import bend_note, bend_px
from analysis.ground.carried import estimate
from analysis.ground.ground import STEP_OFFSET_HALF_M, Ground, read_ground
from analysis.ground.marks import MapKind
from analysis.ground.place import place_hips
from analysis.ground.point_rows import PointRows, rows_of
from analysis.ground.points import by_name
from analysis.ground.tilt import roll_and_tilt
from analysis.values.camera import Lens
from analysis.values.estimate import NoValue
from analysis.values.run import Athlete, Side
from tests.analysis.ground.films import LINE, PLANE, bent, marks_at, point, run_of
from tests.analysis.ground.one_contact import place_shoes
from tests.analysis.ground.pinhole import Pinhole
from tests.helpers.carried import error_components

CAMERA = Pinhole()
CENTRE = np.array([639.5, 359.5])


def ground_of(run, athlete=None):
    ground = read_ground(run, 1280, 720, None, athlete)
    assert isinstance(ground, Ground), ground
    return ground


@pytest.mark.parametrize("places", [LINE, PLANE, [*LINE, (2.5, 0.0), (7.5, 0.0)]])
def test_a_mark_that_is_about_makes_places_beside_it_less_sure_and_is_not_named(places):
    marks = marks_at(CAMERA.pixels(places), places)
    about = tuple(replace(m, error_m=0.2) if m.x_m == 10.0 else m for m in marks)
    query = [point(0, "left_toe", CAMERA.pixels([(10.0, 0.0)])[0])]
    sure = place_shoes(ground_of(run_of(marks)), PointRows.of(query), [Side.LEFT]).u()[0]
    assert place_shoes(ground_of(run_of(about)), PointRows.of(query), [Side.LEFT]).u()[0] > sure + 0.02
    off = tuple(replace(m, x_m=10.3) if m.x_m == 10.0 else m for m in about)
    assert not ground_of(run_of(off)).doubts


def test_an_about_mark_of_five_weighs_as_its_error_says():
    """300 draws of one mark's distance: places scatter as stated, in the middle and beside that mark."""
    rng = np.random.default_rng(7)
    places = [*LINE, (2.5, 0.0), (7.5, 0.0)]
    pixels = CAMERA.pixels(places)
    query = CAMERA.pixels([(4.0, 0.0), (10.5, 0.0)])
    found, stated = [], []
    for _ in range(300):
        marks = marks_at(pixels + rng.normal(0, 1.5, pixels.shape), places)
        off = tuple(
            replace(m, x_m=10.0 + rng.normal(0, 0.15), error_m=0.15) if m.x_m == 10.0 else m for m in marks
        )
        ground = ground_of(run_of(off))
        found.append(ground.metres(query)[:, 0])
        stated.append(np.sqrt((ground.map_changes(query)[:, 0] ** 2).sum(axis=-1)))
    assert np.std(found, axis=0) == pytest.approx(np.median(stated, axis=0), rel=0.2)


HIGH = Pinhole(height_m=6.0, tilt_deg=24.0)
BESIDE = [(x, 0.0, z) for x in (0.0, 5.0, 10.0) for z in (-1.5, 1.5)]


def test_marks_on_both_sides_place_shoes_wherever_they_land_for_a_high_camera():
    run = run_of(marks_at(HIGH.pixels(BESIDE), BESIDE))
    ground = ground_of(run)
    assert ground.shoes is not None
    truth = [(1.0, 0.0, 0.3), (9.0, 0.0, -0.3)]
    points = [point(0, "left_toe", p) for p in HIGH.pixels(truth)]
    placed = place_shoes(ground, PointRows.of(points), [Side.LEFT] * 2)
    assert placed.x == pytest.approx([1.0, 9.0], abs=1e-6)
    assert any("across the line" in note for note in ground.notes)
    hips = [point(0, f"{s}_hip", HIGH.pixels([(7.0, 0.0, 0.0)])[0]) for s in ("left", "right")]
    assert place_hips(ground, rows_of(by_name(hips), 1), np.zeros(1)).places.x == pytest.approx(
        [7.0], abs=1e-6
    )


def test_a_low_camera_says_how_weak_marks_beside_the_line_are_and_reads_from_the_line():
    places = [*BESIDE, *((x, y, 0.0) for x, y in LINE[:2])]
    run = run_of(marks_at(CAMERA.pixels(places), places))
    ground = ground_of(run)
    assert ground.shoes is None
    note = next(n for n in ground.notes if "stands low" in n)
    assert int(note.split(" to ")[1].split(" cm")[0]) > 10
    assert not any("Not used" in n for n in ground.notes)


def test_the_ground_map_s_stated_error_holds_the_truth_under_noise():
    rng = np.random.default_rng(3)
    pixels = HIGH.pixels(BESIDE)
    truth = [(1.0, 0.015, 0.2), (5.5, 0.0, -0.1), (9.5, 0.01, -0.2)]
    held = []
    for _ in range(200):
        ground = ground_of(run_of(marks_at(pixels + rng.normal(0, 1.5, pixels.shape), BESIDE)))
        clicks = HIGH.pixels(truth) + rng.normal(0, 1.5, (3, 2))
        placed = place_shoes(ground, PointRows.of([point(0, "left_toe", c) for c in clicks]), [Side.LEFT] * 3)
        for n, t in enumerate(truth):
            e = estimate(placed.carried(n))
            held.append(e.low <= t[0] <= e.high)
    assert 0.93 <= np.mean(held) <= 0.99


@pytest.mark.parametrize("leftwards", [False, True])
@pytest.mark.parametrize("lane", [-0.6, 0.6])
def test_an_athlete_beside_the_marked_line_is_put_where_she_is(leftwards, lane):
    camera = Pinhole(leftwards=leftwards)
    near = Side.LEFT if leftwards else Side.RIGHT
    run = run_of(marks_at(camera.pixels(LINE), LINE), leftwards=leftwards, lane_offset_m=lane)
    shoe = [point(0, "toe", camera.pixels([(10.0, 0.0, lane + 0.1)])[0])]
    hips = [
        point(0, f"{s.value}_hip", camera.pixels([(10.0, 0.9, lane + (0.09 if s is near else -0.09))])[0])
        for s in Side
    ]
    ground = ground_of(run)
    assert place_shoes(ground, PointRows.of(shoe), [near]).x == pytest.approx([10.0], abs=0.003)
    assert place_hips(ground, rows_of(by_name(hips), 1), np.zeros(1)).places.x == pytest.approx(
        [10.0], abs=0.003
    )
    unsaid = ground_of(replace(run, lane_offset_m=None))
    assert abs(place_shoes(unsaid, PointRows.of(shoe), [near]).x[0] - 10.0) > 0.15


def test_the_lane_s_own_error_is_shared_by_shoes_and_hips():
    run = run_of(marks_at(CAMERA.pixels(LINE), LINE), lane_offset_m=0.0, lane_offset_u_m=0.3)
    ground = ground_of(run)
    tip = PointRows.of([point(0, "toe", CAMERA.pixels([(10.0, 0.0)])[0])])
    shoe = place_shoes(ground, tip, [Side.LEFT]).carried(0)
    hip_clicked = PointRows.of([point(0, "left_hip", CAMERA.pixels([(10.0, 0.9)])[0])])
    hip = place_hips(ground, {"left_hip": hip_clicked}, np.zeros(1))
    moves = [error_components(n)[ground.shared.lane] for n in (shoe, hip.places.carried(0))]
    assert moves == pytest.approx([0.3 * 4 / 12] * 2, rel=0.05)


def test_each_contact_strays_by_itself_and_all_clicks_of_it_alike():
    ground = ground_of(run_of(marks_at(CAMERA.pixels(LINE), LINE)))
    clicks = [point(n, "toe", CAMERA.pixels([(11.0, 0.0)])[0]) for n in range(2)]
    one, other = (place_shoes(ground, PointRows.of(clicks), [Side.LEFT] * 2) for _ in range(2))
    stray = STEP_OFFSET_HALF_M / np.sqrt(3) * 5 / 12
    together = (one.carried(0) - one.carried(1)).std_dev
    apart = (one.carried(0) - other.carried(0)).std_dev
    assert np.sqrt(apart**2 - together**2) == pytest.approx(np.sqrt(2) * stray, rel=0.05)


def test_stature_is_a_rough_scale_where_no_marks_stand():
    standing = CAMERA.pixels([(2.0, 1.8), (2.0, 0.0)])
    crouched = CAMERA.pixels([(3.4, 1.0), (2.6, 0.0)])
    points = [
        point(10, "head", standing[0]),
        point(10, "left_heel", standing[1]),
        point(60, "head", crouched[0]),
        point(60, "left_heel", crouched[1]),
    ]
    athlete = Athlete("a", "W1", "male", 1.8)
    ground = ground_of(run_of((), points), athlete)
    assert ground.rough
    assert not ground.has_start_line
    apart = ground.metres(CAMERA.pixels([(4.0, 0.0), (7.0, 0.0)]))[:, 0]
    assert apart[1] - apart[0] == pytest.approx(3.0, rel=0.01)
    shoes = place_shoes(
        ground,
        PointRows.of([point(0, "t", p) for p in CAMERA.pixels([(4.0, 0), (7.0, 0)])]),
        [Side.LEFT] * 2,
    )
    length = estimate(shoes.carried(1) - shoes.carried(0))
    assert length.u >= 0.03 * 3.0
    assert any("rough" in note for note in ground.notes)
    assert not ground.doubts  # head and heel stand one above the other, and are no marks
    assert isinstance(read_ground(run_of((), points), 1280, 720), NoValue)
    assert isinstance(read_ground(run_of((), points[2:]), 1280, 720, None, athlete), NoValue)


def test_a_bent_knee_is_not_standing():
    pixels = CAMERA.pixels([(2.0, 1.6), (2.0, 0.0), (2.0, 0.8), (2.25, 0.45), (2.05, 0.08)])
    names = ["head", "left_heel", "left_hip", "left_knee", "left_ankle"]
    points = [point(5, name, p) for name, p in zip(names, pixels, strict=True)]
    found = read_ground(run_of((), points), 1280, 720, None, Athlete("a", "W1", None, 1.8))
    assert isinstance(found, NoValue)
    assert "stature" in found.reason


@pytest.mark.parametrize("places", [LINE, PLANE])
@pytest.mark.parametrize("roll", [-3.0, 0.0, 2.0])
def test_the_camera_s_roll_and_tilt_come_out(places, roll):
    camera = Pinhole(turn_deg=5.0, tilt_deg=4.0, roll_deg=roll)
    ground = ground_of(run_of(marks_at(camera.pixels(places), places)))
    level, tilt = roll_and_tilt(ground.plane, ground.columns, ground.camera, CENTRE)
    found = estimate(level)
    assert found.value == pytest.approx(-roll, abs=0.5)
    assert found.low <= -roll <= found.high
    if places is LINE:
        assert isinstance(tilt, NoValue)
    else:
        assert estimate(tilt).low <= -4.0 <= estimate(tilt).high
        assert estimate(tilt).value == pytest.approx(-4.0, abs=0.5)


def test_a_bent_row_of_marks_is_said_in_pixels():
    lens = Lens(-0.12, 1088.0, (639.5, 359.5))
    camera = Pinhole(height_m=2.5)
    places = [(x, 0.0) for x in np.linspace(0.5, 11.5, 6)]
    straight, seen = camera.pixels(places), bent(lens, camera.pixels(places))
    assert not bend_note(bend_px(marks_at(straight, places)))
    bend = bend_px(marks_at(seen, places))
    middle, ends = seen[2:4, 1].mean(), seen[[0, -1], 1].mean()
    assert estimate(bend).value == pytest.approx(middle - ends, rel=0.15)
    assert "bent" in bend_note(bend)[0]
    assert any("bent row" in note for note in ground_of(run_of(marks_at(seen, places))).notes)
    assert isinstance(bend_px(marks_at(seen[:2], places[:2])), NoValue)


def test_marks_that_contradict_are_questioned_and_the_rest_still_reads():
    places = [*LINE, (7.5, 0.0)]
    marks = marks_at(CAMERA.pixels(places), places)
    twice = (*marks, replace(marks[1], id="again", u=marks[1].u + 40.0))
    ground = ground_of(run_of(twice))
    assert ground.doubts[0].startswith("Two marks stand at 5 m")
    assert ground.metres(CAMERA.pixels([(6.0, 0.0)]))[0, 0] == pytest.approx(6.0, abs=1e-6)


def test_a_mark_outside_the_picture_is_asked_about_and_used():
    places = [*LINE, (14.0, 0.0)]
    ground = ground_of(run_of(marks_at(CAMERA.pixels(places), places)))
    assert any("Outside the picture: the mark at 14 m" in d for d in ground.doubts)


def test_marks_behind_the_start_line_are_as_good_as_others():
    places = [(-1.0, 0.0), (0.0, 0.0), (6.0, 0.0)]
    ground = ground_of(run_of(marks_at(CAMERA.pixels(places), places)))
    assert not ground.doubts
    assert ground.metres(CAMERA.pixels([(-0.5, 0.0)]))[0, 0] == pytest.approx(-0.5, abs=1e-6)


def test_three_marks_in_a_line_beside_one_at_a_height_say_what_is_not_used():
    places = [*LINE, (5.0, 1.2)]
    ground = ground_of(run_of(marks_at(CAMERA.pixels(places), places)))
    assert ground.kind is MapKind.LINE
    assert any(note.startswith("Not used for the scale: 5 m, 1.2 m high") for note in ground.notes)


def test_three_marks_on_the_line_say_that_a_wrong_one_would_not_show():
    """A mark whose distance is 0.2 m wrong passes with two others, and is questioned with three."""
    places = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (7.5, 0.0)]
    said = [(0.0, 0.0), (5.2, 0.0), *places[2:]]
    three = ground_of(run_of(marks_at(CAMERA.pixels(places[:3]), said[:3])))
    assert not three.doubts
    assert any(note.startswith("Three marks on the line fit exactly") for note in three.notes)
    four = ground_of(run_of(marks_at(CAMERA.pixels(places), said)))
    assert any("The mark at 5.2 m" in doubt for doubt in four.doubts)
    assert not any("fit exactly" in note for note in four.notes)


def test_four_marks_of_the_plane_say_that_a_wrong_one_would_not_show():
    """They leave no residual at all, whatever they say; two more leave some."""
    places = [(0.0, 0.0), (10.0, 0.0), (0.0, 1.5), (10.0, 1.5), (5.0, 0.0), (5.0, 1.5)]
    said = [(0.0, 0.0), (10.2, 0.0), *places[2:]]
    four = ground_of(run_of(marks_at(CAMERA.pixels(places[:4]), said[:4])))
    assert max(r.sigmas for r in four.residuals) < 1e-3
    assert any(note.startswith("Four marks fit the plane exactly") for note in four.notes)
    six = ground_of(run_of(marks_at(CAMERA.pixels(places), said)))
    assert max(r.sigmas for r in six.residuals) > 1.0
    assert not any("plane exactly" in note for note in six.notes)
