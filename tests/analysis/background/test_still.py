"""A film in which nothing can be followed, bare or of one pattern; whether it stands is known by hand."""

import numpy as np
import pytest

from analysis.background import follow_background
from analysis.background.still import Stand
from analysis.film import open_film
from analysis.values.camera import CameraKind
from tests.helpers.hard_runs import write_frames

FRAMES = 24


def film_of(picture_at, path):
    """A film with a little noise, 180 by 320."""
    chance = np.random.default_rng(5)
    frames = [picture_at(n)[..., None] + chance.normal(0, 2, (180, 320, 3)) for n in range(FRAMES)]
    return open_film(write_frames(path, [np.clip(one, 0, 255).astype(np.uint8) for one in frames]))


def bare(_):
    return np.full((180, 320), 120.0)


def stripes(_, by=0):
    return np.tile(((np.arange(320) + by) // 8 % 2) * 120.0 + 60, (180, 1))


@pytest.mark.parametrize("picture_at", [bare, stripes])
def test_what_never_changes_was_filmed_by_a_still_camera(picture_at, tmp_path):
    path = follow_background(film_of(picture_at, tmp_path / "f.mp4"), 0, FRAMES - 1)
    assert path.kind is CameraKind.STILL
    assert np.isfinite(path.error_px).all()


def test_a_pattern_that_goes_by_was_not(tmp_path):
    film = film_of(lambda n: stripes(n, by=3 * n), tmp_path / "f.mp4")
    assert follow_background(film, 0, FRAMES - 1).kind is not CameraKind.STILL


def test_a_bare_picture_with_one_thing_that_goes_by_was_not(tmp_path):
    def picture(n):
        out = bare(n)
        out[60:120, 20 + 8 * n : 60 + 8 * n] = 200
        return out

    assert follow_background(film_of(picture, tmp_path / "f.mp4"), 0, FRAMES - 1).kind is not CameraKind.STILL


def passing(n):
    """A thing that goes by, before a wall that gets brighter upwards."""
    out = np.tile(np.linspace(150, 90, 180)[:, None], (1, 320))
    out[60:120, 20 + 8 * n : 60 + 8 * n] = 220
    return out


def posts(n, by=0):
    """The same with posts, the whole moved sideways."""
    out = passing(n)
    for at in (40, 150, 240):
        out[20:150, at + by : at + by + 6] = 30
    return out


def looked_at(picture_at, **how):
    """Whether the stand holds on every picture, and whether that can be told."""
    stand = Stand(picture_at(0).astype(np.uint8), **how)
    return all(stand.holds(picture_at(n).astype(np.uint8)) for n in range(2, FRAMES, 2)), stand.untold


def test_what_goes_by_before_posts_that_stay_does_not_make_a_camera_move():
    assert looked_at(posts) == (True, False)


def test_posts_that_go_by_do():
    assert not looked_at(lambda n: posts(n, by=-2 * n), untold_holds=True)[0]


def test_where_nothing_stands_but_what_goes_by_the_draft_takes_the_camera_as_still_and_says_so():
    assert not looked_at(passing)[0]
    assert looked_at(passing, untold_holds=True) == (True, True)
