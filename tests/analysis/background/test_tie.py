"""Two pictures of one place or of two, against maps that are known."""

import cv2
import numpy as np
import pytest

from analysis.background import Place, tie_backgrounds
from sample_clips.camera import Camera
from sample_clips.scene import hall
from tests.analysis.background.rendering import background, through, true_map

SIZE = (640, 360)
AT = Camera(x=6.0, height=1.2, distance=12.0, focal=640.0, width=640, height_px=360, tilt=-0.6)


def look(camera, light=1.0, seed=5, chance=1):
    """The hall as a camera sees it, grey, with grain."""
    shown = cv2.cvtColor(hall(camera, seed, light, (1, 2)), cv2.COLOR_RGB2GRAY) * 255
    return np.clip(shown + np.random.default_rng(chance).normal(0, 1.5, shown.shape), 0, 255).astype(np.uint8)


def turned(**by):
    return Camera(**{**AT.__dict__, **by})


@pytest.fixture(scope="module")
def before():
    return look(AT)


# A turn by so many degrees shifts the middle of this picture by 3, 20 and 120 px; then roll and zoom.
SHIFTS = {
    "3 px": {"pan": np.degrees(np.arctan(3 / 640))},
    "20 px": {"pan": np.degrees(np.arctan(20 / 640))},
    "120 px": {"pan": np.degrees(np.arctan(120 / 640))},
    "roll": {"roll": 1.5, "tilt": -1.5},
    "zoom": {"focal": 672.0, "pan": 1.0},
}


@pytest.mark.parametrize("name", SHIFTS)
@pytest.mark.parametrize("light", [0.6])
def test_a_shifted_camera_is_corrected(before, name, light):
    camera = turned(**SHIFTS[name])
    tied = tie_backgrounds(before, look(camera, light, chance=2))
    assert tied.verdict is Place.SHIFTED
    places = background(80)
    off = np.linalg.norm(through(tied.map, places) - through(true_map(camera, AT), places), axis=1) / np.sqrt(
        2
    )
    assert off.max() < 0.6
    assert np.mean(off <= 2 * tied.error_px) >= 0.9
    assert "shifted" in tied.sentence()


def test_a_camera_that_stayed_is_said_to_have_stayed(before):
    tied = tie_backgrounds(before, look(AT, 0.7, chance=3))
    assert tied.verdict is Place.SAME
    assert tied.moved_px < 0.5


def with_people(picture, lefts, chance, width=50, height=170):
    """Grey figures stand in the picture, each with folds of its own."""
    out = picture.copy()
    for left in lefts:
        body = cv2.GaussianBlur(chance.normal(90, 60, (height, width)), (0, 0), 3)
        out[170 : 170 + height, left : left + width] = body.clip(0, 255).astype(np.uint8)
    return out


SLANTED = np.linspace(0.6, 1.2, 640)


def test_other_people_and_other_light_do_not_fool_it(before):
    """Three stand in each picture, elsewhere in the other; the light comes from the side."""
    chance = np.random.default_rng(5)
    after = look(turned(**SHIFTS["20 px"]), 0.8, chance=4) * SLANTED
    one = with_people(before, (60, 250, 520), chance)
    two = with_people(np.clip(after, 0, 255).astype(np.uint8), (150, 330, 450), chance)
    tied = tie_backgrounds(one, two)
    assert tied.verdict is Place.SHIFTED
    places = background(80)
    true = true_map(turned(**SHIFTS["20 px"]), AT)
    assert np.abs(through(tied.map, places) - through(true, places)).max() < 1.0


def test_where_people_hide_too_much_the_coach_is_asked(before):
    chance = np.random.default_rng(6)
    one, two = (with_people(before, lefts, chance, 200) for lefts in ((0, 220, 440), (100, 340)))
    one[:170] = two[:170] = 128
    assert tie_backgrounds(one, two).verdict is Place.UNKNOWN


@pytest.mark.parametrize(
    "camera",
    [
        turned(x=30.0),
        turned(pan=60.0),
        turned(x=9.0, distance=7.0, pan=-15.0),
        turned(x=6.1),
        turned(x=6.3),
        turned(x=7.0),
        turned(distance=12.5),
        turned(distance=13.0),
        turned(distance=13.0, focal=693.3),
        turned(distance=14.0),
        turned(height=1.5),
    ],
    ids=[
        "far",
        "turned away",
        "nearer",
        "0.1 m along",
        "0.3 m along",
        "1 m along",
        "0.5 m back",
        "1 m back",
        "1 m back, zoomed in",
        "2 m back",
        "0.3 m higher",
    ],
)
def test_another_place_is_refused(before, camera):
    """A camera that stands elsewhere too: a map that fits the wall is wrong on the lane."""
    tied = tie_backgrounds(before, look(camera, chance=6))
    assert tied.verdict is Place.UNKNOWN
    assert np.isinf(tied.error_px)
    assert (tied.map == np.eye(3)).all()
    assert "can't be told" in tied.sentence()


def test_nothing_to_be_seen_is_refused(before):
    assert tie_backgrounds(before, np.full((360, 640), 90, np.uint8)).verdict is Place.UNKNOWN


def test_colours_are_taken_as_the_film_gives_them(before):
    colours = cv2.cvtColor(before, cv2.COLOR_GRAY2BGRA)
    assert tie_backgrounds(colours, before).verdict is Place.SAME
