"""What still holds of followed points after an edit, and under which key they are kept."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.values.camera import CameraKind, CameraPath
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Standing, Tracks, still_holding, stretch_of, tracks_key

NAMES = ("left_hip", "left_knee")
POINTS = tuple(BodyPoint(FrameNumber(f), n, 10.0 + f, 20.0) for f in (10, 20, 30, 40) for n in NAMES)


@pytest.fixture
def tracks():
    rows = 31
    standing = np.full((rows, 2), Standing.FOLLOWED, dtype=np.uint8)
    standing[::10] = Standing.PLACED
    return Tracks(
        "k", FrameNumber(10), NAMES, np.zeros((rows, 2, 2)), np.ones((rows, 2)), standing, np.ones(2), POINTS
    )


def unknown(tracks):
    rows = np.flatnonzero((tracks.standing == Standing.NONE).any(axis=1))
    return [int(tracks.first) + int(row) for row in rows]


def test_nothing_changed_nothing_lost(tracks):
    assert still_holding(tracks, POINTS) is tracks


def test_a_new_point_costs_the_stretch_between_its_neighbours(tracks):
    held = still_holding(tracks, (*POINTS, BodyPoint(FrameNumber(24), "left_knee", 1.0, 2.0)))
    assert unknown(held) == list(range(21, 30))
    assert held.behind == (24,)
    assert held != tracks


def test_a_moved_point_costs_both_stretches_beside_it(tracks):
    moved = tuple(replace(p, u=p.u + 1) if p.frame == 20 else p for p in POINTS)
    held = still_holding(tracks, moved)
    assert unknown(held) == list(range(11, 30))
    assert held.behind == (20,)


def test_a_point_taken_away_at_the_end_costs_what_lay_beyond(tracks):
    held = still_holding(tracks, tuple(p for p in POINTS if p.frame < 40))
    assert unknown(held) == list(range(31, 41))


def test_a_point_that_was_not_followed_costs_nothing_but_is_behind(tracks):
    held = still_holding(tracks, (*POINTS, BodyPoint(FrameNumber(24), "left_toe", 1.0, 2.0)))
    assert unknown(held) == []
    assert held.behind == (24,)


def test_the_key_tells_film_points_direction_and_camera_apart():
    camera = CameraPath(CameraKind.TURNING, FrameNumber(0), FrameNumber(0), np.tile(np.eye(3), (50, 1, 1)))
    turned = replace(camera, maps=camera.maps * 1.01)
    asked = ("film", 10, 40, POINTS, Direction.LEFT, camera)
    keys = [
        tracks_key(*asked),
        *(
            tracks_key(*asked[:n], other, *asked[n + 1 :])
            for n, other in enumerate(("another", 11, 39, POINTS[:-1], Direction.RIGHT, turned))
        ),
        tracks_key(*asked[:5], None),
    ]
    assert len(set(keys)) == len(keys)
    assert tracks_key(*asked[:3], POINTS[::-1], *asked[4:]) == keys[0]


def test_a_stretch_needs_two_frames():
    assert stretch_of(POINTS, 0, 100) == (10, 40)
    assert stretch_of(POINTS, 15, 35) == (20, 30)
    assert stretch_of(POINTS, 15, 25) is None
    assert stretch_of((), 0, 100) is None
