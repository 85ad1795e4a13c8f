"""A camera that is carried makes near ground part from all else: told, refused, or stated.

Runners before a wall and over ground, from cameras whose every place is known
(``tests/helpers/walked_runs``), and corners in closed form.
"""

import numpy as np
import pytest

from analysis.background import follow_background, sentences
from analysis.background.nearest import Body, body, nearest_px
from analysis.film import open_film
from analysis.values.camera import CameraKind
from tests.helpers.capsule_runs import drawn_run, write_run
from tests.helpers.hall_runs import HallFilm
from tests.helpers.walked_runs import WalkedFilm, walked_run

SHAPE = (360, 640)
RUNNER = Body(280.0, 300.0, 360.0)


def filmed(tmp_path, seed, walk_m_s, follow, *, grass):
    run = walked_run(seed, 30.0, 1.6)
    drawn = WalkedFilm(run, walk_m_s, follow, grass=grass)
    film = open_film(write_run(run, tmp_path / "film.mp4", drawn))
    return drawn, follow_background(film, 0, film.frames - 1)


def off_along(drawn, path):
    """How far the running line is off along the run, frame by frame, and what was stated."""
    lane = [(x, y) for x in np.linspace(-3, 20, 93) for y in (0.0, 0.9)]
    rate = drawn.run.fps
    there = np.array([drawn.pixel(place, path.reference / rate) for place in lane])
    for number, (map_, stated) in enumerate(zip(path.maps, path.error_px, strict=True)):
        seen = np.array([drawn.pixel(place, number / rate) for place in lane])
        inside = ((seen > 0) & (seen < SHAPE[::-1])).all(axis=1)
        full = np.c_[seen[inside], np.ones(inside.sum())] @ map_.T
        yield full[:, 0] / full[:, 2] - there[inside, 0], float(stated)


def held(found):
    return float(np.mean(np.concatenate([np.abs(off) <= 2 * stated for off, stated in found])))


@pytest.mark.parametrize(("seed", "follow"), [(8301, 0.0), (8302, 0.0), (8303, 0.9), (8304, 0.9)])
def test_a_slow_walk_past_ground_that_shows_something_is_refused(seed, follow, tmp_path):
    _, path = filmed(tmp_path, seed, 0.3, follow, grass=True)
    assert path.kind is CameraKind.WALKING


@pytest.mark.parametrize("seed", [8305, 8306])
def test_a_turn_in_its_place_past_such_ground_is_none_and_stated_to_a_few_pixels(seed, tmp_path):
    drawn, path = filmed(tmp_path, seed, 0.0, 0.9, grass=True)
    assert path.kind is CameraKind.TURNING
    assert held(list(off_along(drawn, path))) >= 0.93
    assert path.doubt == ""


@pytest.mark.parametrize("seed", [8308, 8313])
def test_a_walk_past_bare_ground_that_passes_says_so_and_states_what_it_does(seed, tmp_path):
    drawn, path = filmed(tmp_path, seed, 0.2, 0.0, grass=False)
    assert path.kind is CameraKind.TURNING
    assert "looks like a slow walk" in path.doubt
    assert path.doubt in sentences(path)
    found = list(off_along(drawn, path))
    assert max(np.abs(off).max() for off, _ in found) > 2.5
    assert held(found) >= 0.9


def test_a_long_turn_past_bare_ground_is_not_said_to_be_a_walk(tmp_path):
    drawn, path = filmed(tmp_path, 8309, 0.0, 0.9, grass=False)
    assert path.kind is CameraKind.TURNING
    assert path.doubt == ""
    assert held(list(off_along(drawn, path))) >= 0.93


@pytest.mark.parametrize("seed", [9900, 9901, 9904])
def test_a_turn_in_a_bare_hall_whose_upper_wall_few_corners_hold_is_no_walk(seed, tmp_path):
    """There the wall seems to part, or maps are no turn's; the floor before the runner lies on them."""
    run = drawn_run(seed, 30.0, pan=True, small=True, shake=bool(seed % 2), seconds=3.0)
    drawn = HallFilm(run)
    film = open_film(write_run(run, tmp_path / "film.mp4", drawn))
    path = follow_background(film, 0, film.frames - 1)
    assert path.kind is CameraKind.TURNING
    assert held(list(off_along(drawn, path))) >= 0.93


def ground(off_px, chance, count=120, slide_px=0.0):
    """Corners over the lower half, those below the runner's feet off by so much along the run."""
    places = chance.uniform([0, 180], [640, 360], (count, 2)).astype(np.float32)
    off = chance.normal(0, 0.2, (count, 2))
    low = places[:, 1] > RUNNER.feet - 10
    off[low, 0] += off_px
    off[low, 0] += slide_px * np.sign(np.sin(places[low, 0] / 40.0))
    return places, off


def test_ground_that_parts_is_told_by_how_much():
    chance = np.random.default_rng(3)
    away = np.linspace(0, 40, 20)
    followed = [ground(0.2 * shift, chance) for shift in away]
    assert nearest_px(followed, [RUNNER] * 20, away, SHAPE) == pytest.approx(0.2 * 40, rel=0.15)


def test_what_slides_each_its_own_way_and_a_body_tell_nothing():
    chance = np.random.default_rng(4)
    away = np.linspace(0, 40, 20)
    sliding = [ground(0.0, chance, slide_px=0.3 * shift) for shift in away]
    assert nearest_px(sliding, [RUNNER] * 20, away, SHAPE) is None
    places, off = ground(0.0, chance)
    beside = (places[:, 0] > RUNNER.left) & (places[:, 0] < RUNNER.right)
    shadow = (places[beside], off[beside] + [9.0, 0.0])
    assert nearest_px([shadow] * 20, [RUNNER] * 20, away, SHAPE) is None


def test_a_picture_before_the_camera_moved_says_nothing_of_a_walk():
    """At rest all lies where it lay: only pictures far from their key tell."""
    chance = np.random.default_rng(5)
    away = np.concatenate([np.zeros(10), np.linspace(20, 40, 10)])
    bare = (np.empty((0, 2), np.float32), np.empty((0, 2)))
    followed = [ground(0.0, chance) if shift == 0 else bare for shift in away]
    assert nearest_px(followed, [None] * 20, away, SHAPE) is None


def test_the_largest_thing_that_moves_stands_on_its_lowest_row():
    background = np.full(SHAPE, 255, np.uint8)
    background[150:292, 300:360] = 0
    background[40:50, 20:40] = 0
    assert body(background) == Body(280.0, 300.0, 360.0)
    assert body(np.full(SHAPE, 255, np.uint8)) is None
