"""Turning, zooming and walking told apart by maps in closed form (Hartley and Zisserman, Multiple View
Geometry, 2nd ed.: cameras that share a centre, section 8.4; the map that a plane induces, section 13.1).
"""

import cv2
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.background.turning import turning

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


SECONDS = np.arange(48) / 24.0
READOUT_S = 0.025


def rolled(readout_s, walk_m_s=0.0):
    """Maps of a turn to and fro whose rows are read one after the other, each with where the camera looks
    and stands at its own moment: places over the picture, and one homography through them by least squares.
    """
    u, v = np.meshgrid(np.linspace(0, SHAPE[1] - 1, 9), np.linspace(0, SHAPE[0] - 1, 7))
    spots = np.stack([u.ravel(), v.ravel()], 1)
    inverse = np.linalg.inv(lens(FOCAL_PX))

    def later(begin, rows):
        return begin + readout_s * (rows - (SHAPE[0] - 1) / 2) / SHAPE[0]

    def turn(moments):
        return Rotation.from_rotvec(np.outer(np.sin(2 * np.pi * moments / 1.6), [0.0, np.radians(12.0), 0.0]))

    def beside(moments):
        return np.stack([walk_m_s * (moments - SECONDS[24]), 0 * moments, 0 * moments], 1)

    found = []
    for begin in SECONDS:
        moments = later(begin, spots[:, 1])
        rays = turn(moments).inv().apply(np.c_[spots, np.ones(len(spots))] @ inverse.T)
        wall = rays * (WALL_M / rays[:, 2:]) + beside(moments)
        there = spots.copy()
        for _ in range(30):
            moments = later(SECONDS[24], there[:, 1])
            seen = turn(moments).apply(wall - beside(moments)) @ lens(FOCAL_PX).T
            there = seen[:, :2] / seen[:, 2:]
        found.append(cv2.findHomography(spots, there, 0)[0])
    return np.array(found)


@pytest.mark.parametrize("readout_s", [READOUT_S, -READOUT_S])
def test_rows_that_are_read_one_after_the_other_are_no_walk(readout_s):
    maps_ = rolled(readout_s)
    assert turning(maps_, SHAPE).walks(SHAPE[1])
    found = turning(maps_, SHAPE, SECONDS)
    assert not found.walks(SHAPE[1])
    assert found.off_best_px < 0.003 * SHAPE[1]
    assert found.readout_s == pytest.approx(readout_s, rel=0.25)  # the mean speed stands for all
    assert found.focal == pytest.approx(FOCAL_PX / SHAPE[1], rel=0.1)


def test_a_camera_that_walks_is_not_excused_by_its_rows():
    assert turning(rolled(READOUT_S, walk_m_s=1.5), SHAPE, SECONDS).walks(SHAPE[1])
    assert turning(maps(walk_m=6.0), SHAPE, np.arange(25) / 12.0).walks(SHAPE[1])


def shifted(focal_px, degrees, walk_m=0.0, noise_px=0.1):
    """Maps of a small turn through a long lens, or of a walk along the wall, told to a tenth of a pixel."""
    chance = np.random.default_rng(4)
    u, v = np.meshgrid(np.linspace(0, SHAPE[1] - 1, 9), np.linspace(0, SHAPE[0] - 1, 7))
    spots = np.stack([u.ravel(), v.ravel()], 1)
    found = []
    for share in np.linspace(-0.5, 0.5, 25):
        moved = np.eye(3) - np.outer([walk_m * share, 0.0, 0.0], [0.0, 0.0, 1.0]) / WALL_M
        rotation = Rotation.from_euler("y", degrees * share, degrees=True).as_matrix()
        back = lens(focal_px) @ np.linalg.inv(rotation @ moved) @ np.linalg.inv(lens(focal_px))
        seen = np.c_[spots, np.ones(len(spots))] @ back.T
        there = seen[:, :2] / seen[:, 2:] + chance.normal(0, noise_px, spots.shape)
        found.append(cv2.findHomography(spots, there, 0)[0])
    return np.array(found)


@pytest.mark.parametrize("focal", [0.7, 1.3, 2.4])
@pytest.mark.parametrize("degrees", [0.5, 3.0, 8.0])
def test_a_turn_through_any_lens_of_a_phone_is_a_turn(focal, degrees):
    found = turning(shifted(focal * SHAPE[1], degrees), SHAPE)
    assert not found.walks(SHAPE[1]), found


@pytest.mark.parametrize(("degrees", "focal"), [(8.0, 0.7), (8.0, 2.4), (25.0, 2.6)])
def test_a_turn_far_enough_can_be_no_walk_even_through_a_lens_longer_than_a_phones(degrees, focal):
    assert not turning(shifted(focal * SHAPE[1], degrees), SHAPE).may_walk(SHAPE[1])


@pytest.mark.parametrize("walk_m", [0.2, 0.4])
def test_a_slow_walk_may_be_either_and_so_may_as_small_a_turn_through_a_phones_longest_lens(walk_m):
    longest = 2.4 * SHAPE[1]
    turn = float(np.degrees(np.arctan2(walk_m * FOCAL_PX / longest, WALL_M)))
    assert turning(shifted(FOCAL_PX, 0.0, walk_m), SHAPE).may_walk(SHAPE[1])
    assert turning(shifted(longest, turn), SHAPE).may_walk(SHAPE[1])


@pytest.mark.parametrize("walk_m", [0.8, 2.0, 4.0])
def test_walking_along_a_wall_without_turning_is_walking(walk_m):
    found = turning(shifted(FOCAL_PX, 0.0, walk_m), SHAPE)
    assert found.walks(SHAPE[1]), found
