"""Corners of pictures in closed form (Hartley and Zisserman, Multiple View Geometry, 2nd ed.: cameras that
share a centre, section 8.4; the map that a plane induces, section 13.1), seen to most of a pixel.
"""

import cv2
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.background.chain import Tie
from analysis.background.held import held_by_turns
from analysis.background.turning import turning

SHAPE = (360, 640)
FOCAL_PX = 860.0
WALL_M = 16.0
LENS = np.array([[FOCAL_PX, 0, (SHAPE[1] - 1) / 2], [0, FOCAL_PX, (SHAPE[0] - 1) / 2], [0, 0, 1.0]])
SEEN_PX = 0.5
CORNERS = 36
LINKS = 5


def through(map_, places):
    full = np.c_[places, np.ones(len(places))] @ map_.T
    return full[:, :2] / full[:, 2:]


def link(turn_deg, walk_m, at_deg):
    """From a picture whose camera looked ``at_deg`` off the wall to one that turned on by ``turn_deg`` and
    stands ``walk_m`` further along it.
    """
    looks = Rotation.from_euler("y", at_deg, degrees=True).as_matrix()
    turned = Rotation.from_euler("y", at_deg + turn_deg, degrees=True).as_matrix()
    moved = np.eye(3) - np.outer([walk_m, 0.0, 0.0], [0.0, 0.0, 1.0]) / WALL_M
    there = LENS @ turned @ moved @ looks.T @ np.linalg.inv(LENS)
    return there / there[2, 2]


def chained(walk_m=0.0, seed=1):
    """Ties, each on the one before, by few corners in one part of the picture; and their true maps to the
    first. ``walk_m``: from each to the next.
    """
    chance = np.random.default_rng(seed)
    none = np.empty((0, 2), np.float32)
    ties, true = [Tie(np.eye(3), -1, np.zeros((8, 8)), np.empty((0, 2)), none, none)], [np.eye(3)]
    for number in range(LINKS):
        map_ = link(9.0, walk_m, -20.0 + 9.0 * number)
        places = chance.uniform([150, 150], [560, 330], (4 * CORNERS, 2))
        there = through(map_, places)
        inside = ((there > 20) & (there < [SHAPE[1] - 20, SHAPE[0] - 20])).all(axis=1)
        before = places[inside][:CORNERS].astype(np.float32)
        after = (there[inside][:CORNERS] + chance.normal(0, SEEN_PX, (len(before), 2))).astype(np.float32)
        found, _ = cv2.findHomography(before, after, 0)
        to_base = ties[-1].to_base @ np.linalg.inv(found)
        ties.append(Tie(to_base / to_base[2, 2], number, np.eye(8), np.empty((0, 2)), before, after))
        true.append(true[-1] @ np.linalg.inv(map_))
    middle = LINKS // 2
    back = np.linalg.inv(true[middle])
    return ties, middle, [back @ one for one in true]


def maps_of(ties, middle):
    back = np.linalg.inv(ties[middle].to_base)
    maps = np.stack([back @ tie.to_base for tie in ties])
    return maps / maps[:, 2:, 2:]


@pytest.mark.parametrize("seed", [1, 2, 4])
def test_a_turn_that_few_corners_hold_is_a_turn_and_nearer_the_truth_than_the_maps(seed):
    ties, middle, true = chained(seed=seed)
    maps = maps_of(ties, middle)
    held = held_by_turns(ties, middle, SHAPE)
    assert turning(maps, SHAPE).off_best_px > 0.0035 * SHAPE[1]  # from which on maps alone tell of walking
    assert held.turns(SHAPE[1])
    assert held.focal == pytest.approx(FOCAL_PX / SHAPE[1], rel=0.05)
    spots = np.array([[100.0, 250.0], [320.0, 180.0], [540.0, 250.0]])
    off, off_maps = (
        max(np.abs(through(a, spots) - through(b, spots)).max() for a, b in zip(found, true, strict=True))
        for found in (held.maps, maps)
    )
    assert off < 0.5 * off_maps


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_corners_that_few_as_they_are_give_a_camera_that_walks_away(seed):
    """0.6 m from each to the next, as at a metre a second."""
    ties, middle, _ = chained(walk_m=0.6, seed=seed)
    assert not held_by_turns(ties, middle, SHAPE).turns(SHAPE[1])


def test_one_that_does_not_move_is_not_off_at_all():
    ties = chained()[0]
    assert held_by_turns(ties[:1], 0, SHAPE).off_px == 0.0
