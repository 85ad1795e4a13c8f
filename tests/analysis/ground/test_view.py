"""Lens and turning camera: places come out where they are, whatever frame they were clicked on."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.ground.carried import estimate, spread
from analysis.ground.ground import Ground, read_ground
from analysis.ground.lens import straightened
from analysis.ground.place import place_hips
from analysis.ground.point_rows import PointRows
from analysis.ground.straightening import straight_points
from analysis.ground.view import Drift, View
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.estimate import NoValue
from analysis.values.run import FrameNumber, Side
from tests.analysis.ground.films import LINE, PLANE, bent, marks_at, panned, point, run_of
from tests.analysis.ground.one_contact import place_shoes
from tests.analysis.ground.pinhole import Pinhole
from tests.helpers.carried import error_components

WIDE = Lens(-0.09, 1060.0, (639.5, 359.5), 0.004)


def test_a_bent_lens_taken_straight_gives_places_exactly():
    camera = Pinhole(turn_deg=4.0, roll_deg=1.0)
    run = run_of(marks_at(bent(WIDE, camera.pixels(PLANE)), PLANE))
    view = View(1280, 720, WIDE)
    ground = read_ground(run, 1280, 720, view)
    query = np.array([(1.0, 0.0), (6.5, 0.9), (11.5, 0.3)])
    seen = bent(WIDE, camera.pixels(query))
    assert ground.metres(view.straight([0] * 3, seen)) == pytest.approx(query, abs=1e-6)
    crooked = read_ground(run, 1280, 720)
    assert np.abs(crooked.metres(seen) - query).max() > 0.03


def test_the_lens_s_error_is_one_error_that_all_places_share():
    """What it states is what another lens really reads: the whole reading again with k1 off by one u."""
    camera = Pinhole()
    run = run_of(marks_at(bent(WIDE, camera.pixels(PLANE)), PLANE))
    seen = bent(WIDE, camera.pixels([(2.0, 0.9), (11.0, 0.0)]))
    ground = read_ground(run, 1280, 720, View(1280, 720, WIDE))
    stated = ground.map_changes(straightened(WIDE, seen))[:, :, -1]
    other = replace(WIDE, k1=WIDE.k1 + WIDE.k1_u)
    really = read_ground(run, 1280, 720, View(1280, 720, other)).metres(straightened(other, seen))
    assert stated == pytest.approx(really - ground.metres(straightened(WIDE, seen)), rel=0.05, abs=1e-5)
    assert np.abs(stated).max() > 1e-3
    assert len(ground.shared.plane) == ground.map_changes(seen).shape[-1]


@pytest.mark.parametrize("lens", [None, WIDE])
def test_marks_on_any_frame_of_a_turning_camera_serve_all(lens):
    cameras, path = panned(np.linspace(0.0, 12.0, 5), [0.0, 0.5, 1.0, 0.5, 0.0], tilt_deg=1.0)
    frames = [0, 1, 2, 3, 4]
    through = (lambda p: p) if lens is None else (lambda p: bent(lens, p))
    clicks = [through(cameras[f].pixels([PLANE[f]]))[0] for f in frames]
    view = View(1280, 720, lens, replace(path, lens=lens))
    run = run_of(marks_at(clicks, PLANE, frames))
    ground = read_ground(run, 1280, 720, view)
    assert isinstance(ground, Ground)
    for frame, camera in enumerate(cameras):
        query = np.array([(3.0, 0.0), (7.0, 1.0)])
        straight = view.straight([frame] * 2, through(camera.pixels(query)))
        assert ground.metres(straight) == pytest.approx(query, abs=1e-5)
        assert view.seen([frame] * 2, straight) == pytest.approx(through(camera.pixels(query)), abs=1e-6)
    assert max(abs(r.du) + abs(r.dv) for r in ground.residuals) < 1e-4


def test_a_mark_off_by_some_pixels_shows_them_on_its_own_frame():
    cameras, path = panned([0.0, 9.0], [0.0, 8.0])
    places = [*PLANE, (2.5, 0.0), (7.5, 0.0)]
    frames = [0, 0, 0, 0, 0, 1, 1]
    clicks = np.array([cameras[f].pixels([p])[0] for f, p in zip(frames, places, strict=True)])
    clicks[6] += (0.0, 40.0)
    run = run_of(marks_at(clicks, places, frames))
    ground = read_ground(run, 1280, 720, View(1280, 720, None, path))
    worst = max(ground.residuals, key=lambda r: r.sigmas)
    assert worst.mark_id == "m6"
    assert worst.dv > 10.0
    assert abs(worst.du) < 0.3 * worst.dv


def test_frames_that_cannot_be_tied_are_left_out():
    cameras, path = panned([0.0, 5.0, 10.0])
    path = replace(path, error_px=np.array([0.1, np.inf, 0.3]))
    view = View(1280, 720, None, path)
    assert view.untied([0, 1, 2, 3]).tolist() == [False, True, False, True]
    points = {
        "left_toe": [point(f, "left_toe", cameras[min(f, 2)].pixels([(3.0, 0.0)])[0]) for f in (0, 1, 2, 3)]
    }
    kept = straight_points(points, view)["left_toe"]
    assert [p.frame for p in kept] == [0, 2]
    assert kept[0].u == pytest.approx(kept[1].u, abs=1e-6)


def test_a_camera_that_walks_gives_no_places_and_says_so():
    run = run_of(marks_at(Pinhole().pixels(LINE), LINE))
    path = CameraPath(CameraKind.WALKING, FrameNumber(0), FrameNumber(0))
    found = read_ground(run, 1280, 720, View(1280, 720, None, path))
    assert isinstance(found, NoValue)
    assert "walked" in found.reason


def test_a_still_camera_is_read_as_ever():
    run = run_of(marks_at(Pinhole().pixels(LINE), LINE))
    still = CameraPath(CameraKind.STILL, FrameNumber(0), FrameNumber(0), np.eye(3)[None], np.zeros(1))
    points = {"left_toe": [point(0, "left_toe", (300.0, 400.0))]}
    view = View(1280, 720, None, still)
    assert straight_points(points, view) is points
    one, two = read_ground(run, 1280, 720), read_ground(run, 1280, 720, view)
    assert one.metres(np.array([[300.0, 400.0]])).tolist() == two.metres(np.array([[300.0, 400.0]])).tolist()


def test_drift_has_the_size_that_the_path_says_and_near_frames_share_it():
    _, path = panned(np.linspace(0.0, 10.0, 241))
    view = View(1280, 720, None, replace(path, error_px=np.linspace(0.0, 1.2, 241)), 240.0)
    drift = Drift(view)
    columns = drift.columns([0, 30, 31, 200, 240])
    assert np.sqrt((columns**2).sum(axis=1)) == pytest.approx(view.drift_px([0, 30, 31, 200, 240]))
    alike = (columns[1] @ columns[2]) / np.linalg.norm(columns[1]) / np.linalg.norm(columns[2])
    apart = (columns[1, 1:] @ columns[4, 1:]) / np.linalg.norm(columns[1]) / np.linalg.norm(columns[4])
    assert alike > 0.99
    assert apart == 0.0


def test_what_a_carried_camera_adds_goes_one_way_through_the_film_and_the_marks_with_it():
    _, path = panned(np.linspace(-5.0, 5.0, 241))
    path = replace(path, reference=FrameNumber(120), error_px=np.abs(np.linspace(-1.2, 1.2, 241)))
    maps = np.linalg.inv(path.maps[120]) @ path.maps
    view = View(1280, 720, None, replace(path, maps=maps / maps[:, 2:, 2:]), 240.0)
    first, last = Drift(view).columns([0, 240])
    assert np.hypot.reduce(first) == pytest.approx(1.2)
    assert np.hypot.reduce(last - first) > 0.93 * 2.4  # not 1.7, as of two that share nothing
    from_marks = Drift(view, [0, 0, 0]).columns([0, 240])
    assert from_marks[0] == pytest.approx(0.0)
    assert from_marks[1] == pytest.approx(last - first)


def test_many_frames_of_one_moment_do_not_average_the_drift_away():
    cameras, path = panned(np.linspace(0.0, 6.0, 40))
    view = View(1280, 720, None, replace(path, error_px=np.r_[0.0, np.full(39, 2.0)]), 240.0)
    run = run_of(marks_at(cameras[0].pixels(PLANE), PLANE))
    ground = read_ground(run, 1280, 720, view)
    clicks = [point(f, "left_hip", cameras[f].pixels([(3.0, 0.9)])[0]) for f in range(40)]
    placed = PointRows.of(clicks).straight(view)
    track = place_hips(ground, {"left_hip": placed}, np.arange(40) / 240)
    mean = sum(track.places.carried(n) for n in range(40)) / 40
    per_px = np.abs(ground.pixel_changes(placed.uv[:1])[0, 0, 0])
    drifted = sum(u * u for s, u in error_components(mean).items() if s in ground.drift.sources) ** 0.5
    assert drifted > 0.6 * 2.0 * per_px
    shoes = place_shoes(ground, placed[1:4], [Side.LEFT] * 3)
    assert spread(shoes.carried(0))[0] > 2.0 * per_px


def test_without_marks_frames_are_turned_level_with_the_reference():
    _, path = panned([0.0, 8.0], [0.0, 3.0])
    level = View(1280, 720, None, path).turned()
    ends = level.straight([1, 1], np.array([(600.0, 360.0), (680.0, 360.0)]))
    slope = np.degrees(np.arctan2(*(ends[1] - ends[0])[::-1]))
    assert slope == pytest.approx(-3.0, abs=0.1)
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(80.0)


def test_stated_errors_hold_the_truth_through_a_path_that_drifts():
    """200 films: the path off by a smooth error of the size that it states, clicks noisy."""
    rng = np.random.default_rng(2)
    cameras, path = panned(np.linspace(0.0, 10.0, 9))
    frames = np.array([0, 2, 4, 6, 8])
    held = []
    for _ in range(200):
        off = rng.normal(0, 1.0, 2)
        maps = path.maps.copy()
        for n in range(1, 9):
            maps[n] = np.array([[1, 0, off[0]], [0, 1, off[1]], [0, 0, 1.0]]) @ maps[n]
        view = View(1280, 720, None, replace(path, maps=maps, error_px=np.r_[0.0, np.full(8, 1.0)]), 30.0)
        marks = cameras[0].pixels(LINE) + rng.normal(0, 1.5, (3, 2))
        ground = read_ground(run_of(marks_at(marks, LINE)), 1280, 720, view)
        clicks = [
            point(f, "left_hip", cameras[f].pixels([(1.0 + f, 0.0)])[0] + rng.normal(0, 1.5, 2))
            for f in frames
        ]
        placed = PointRows.of(clicks).straight(view)
        track = place_hips(ground, {"left_hip": placed}, np.arange(9) / 30)
        for n, f in enumerate(frames):
            e = estimate(track.places.carried(n) + float(-0.09 * (1.0 + f - 6.0) / 12.0))
            held.append(e.low <= 1.0 + f <= e.high)
    assert np.mean(held) >= 0.93
