"""Turning, zooming and walking told apart by maps in closed form (Hartley and Zisserman, Multiple View
Geometry, 2nd ed.: cameras that share a centre, section 8.4; the map that a plane induces, section 13.1).
"""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.background.parallax import turning

SHAPE = (360, 640)
FOCAL_PX = 640.0
WALL_M = 16.0
TURNS_DEG = np.linspace(-12.0, 12.0, 25)


def lens(focal_px):
    return np.array([[focal_px, 0, (SHAPE[1] - 1) / 2], [0, focal_px, (SHAPE[0] - 1) / 2], [0, 0, 1.0]])


def maps(zoom=0.0, walk_m=0.0):
    """From each picture of a turn over 24 degrees to the one in the middle; ``zoom``: share by which the
    focal length grows over it, ``walk_m``: metres along the wall.
    """
    found = []
    for turn, share in zip(TURNS_DEG, np.linspace(-0.5, 0.5, len(TURNS_DEG)), strict=True):
        rotation = Rotation.from_euler("y", turn, degrees=True).as_matrix()
        # a point X of the wall lies at R (X - t) of the picture; the wall is z = WALL_M in the middle one
        step = np.array([walk_m * share, 0.0, 0.0])
        moved = np.eye(3) - np.outer(step, [0.0, 0.0, 1.0]) / WALL_M
        there = lens(FOCAL_PX * (1 + zoom * share)) @ rotation @ moved @ np.linalg.inv(lens(FOCAL_PX))
        back = np.linalg.inv(there)
        found.append(back / back[2, 2])
    return np.array(found)


def test_a_turn_is_a_turn_through_its_own_lens():
    found = turning(maps(), SHAPE)
    assert found.focal == pytest.approx(FOCAL_PX / SHAPE[1], rel=0.02)
    assert found.off_best_px < 0.05
    assert not found.walks(SHAPE[1])


@pytest.mark.parametrize("zoom", [0.05, 0.2])
def test_a_lens_that_zooms_while_it_turns_is_not_taken_for_walking(zoom):
    found = turning(maps(zoom=zoom), SHAPE)
    assert found.off_best_px > 2
    assert not found.walks(SHAPE[1])


@pytest.mark.parametrize("walk_m", [6.0, 9.0])
def test_walking_past_a_wall_while_turning_is_walking(walk_m):
    assert turning(maps(walk_m=walk_m), SHAPE).walks(SHAPE[1])


def test_a_step_or_two_aside_are_not_yet_walking_but_no_turn_either():
    found = turning(maps(walk_m=1.5), SHAPE)
    assert not found.walks(SHAPE[1])
    assert found.off_best_px > 0.0015 * SHAPE[1]
