"""Where followed points are asked about: one that slipped on purpose, and none that follows the truth."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.body.slips import LOOSE_ARM, slips
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Footfall, Side
from analysis.values.tracks import Standing, Tracks
from tests.analysis.reading.runs import SAMPLES

FIRST, LAST, EVERY = 200, 272, 24


@pytest.fixture(scope="module")
def true():
    """Tracks that are the renderer's truth, said to be known within a pixel."""
    with np.load(SAMPLES / "wing_day2.truth.npz") as arrays:
        names, pixels = tuple(str(n) for n in arrays["names"]), arrays["pixels"][FIRST : LAST + 1]
    standing = np.full(pixels.shape[:2], Standing.FOLLOWED, dtype=np.uint8)
    standing[::EVERY] = Standing.PLACED
    points = tuple(
        BodyPoint(FrameNumber(FIRST + row), name, *map(float, pixels[row, column]))
        for row in range(0, len(pixels), EVERY)
        for column, name in enumerate(names)
    )
    u = np.full(pixels.shape[:2], 1.0)
    return Tracks(
        "k", FrameNumber(FIRST), names, pixels.astype(float), u, standing, np.full(len(names), 6.0), points
    )


def asked(tracks, footfalls=()):
    return slips(tracks, footfalls, np.arange(LAST + 60) / 240.0)


def changed(tracks, **arrays):
    copies = {name: getattr(tracks, name).copy() for name in arrays}
    for name, (where, value) in arrays.items():
        copies[name][where] = value
    return replace(tracks, **copies)


def test_the_truth_is_not_asked_about(true):
    assert asked(true) == []


def test_a_knee_that_slips_is_asked_about_where_it_is_worst(true):
    column, row = true.names.index("right_knee"), 30
    moved = true.places[row, column] + (25.0, 25.0)
    found = asked(changed(true, places=((row, column), moved)))
    named = [d for d in found if "right" in d.name and d.frame == FIRST + row]
    assert len(named) == 1
    assert f"Look at frame {FIRST + row}" in named[0].sentence
    assert named[0].followed


def test_a_point_known_too_loosely_is_asked_about_once_in_each_stretch(true):
    column = true.names.index("left_ankle")
    found = asked(changed(true, u_px=((slice(40, 47), column), 30.0)))
    named = [d for d in found if d.name == "left_ankle"]
    assert len(named) == 1
    assert FIRST + 40 <= named[0].frame < FIRST + 47
    assert "59 px" in named[0].sentence  # 1.96 standard uncertainties


def test_what_was_placed_is_not_asked_about(true):
    column = true.names.index("left_ankle")
    found = asked(changed(true, u_px=((EVERY, column), 30.0)))
    assert not any(d.name == "left_ankle" and d.frame == FIRST + EVERY for d in found)


def test_an_arm_is_asked_about_where_it_moves_the_centre_of_mass(true):
    column = true.names.index("left_wrist")
    height = 165.0  # px, of this body, by the renderer's scale
    loose = changed(true, u_px=((slice(40, 47), column), 0.8 * LOOSE_ARM * height))
    assert not [d for d in asked(loose) if d.name == "left_wrist"]
    lost = changed(true, u_px=((slice(40, 47), column), 1.3 * LOOSE_ARM * height))
    assert [d for d in asked(lost) if d.name == "left_wrist"]


def test_a_shoe_is_asked_about_near_its_own_contacts_alone(true):
    column = true.names.index("left_toe")
    loose = changed(true, u_px=((slice(40, 47), column), 30.0))
    contact = Footfall("a", Side.LEFT, FrameNumber(FIRST + 44), FrameNumber(FIRST + 60))
    other = Footfall("b", Side.LEFT, FrameNumber(FIRST + 60), FrameNumber(FIRST + 70))
    assert [d.name for d in asked(loose, [contact])] == ["left_toe"]
    assert asked(loose, [other]) == []
    assert asked(
        loose, [replace(other, side=Side.RIGHT)]
    )  # whose steps nobody tagged is asked about anywhere


def test_a_contact_tagged_beyond_the_film_says_nothing_of_its_shoe(true):
    row = true.names.index("left_toe")
    loose = changed(true, u_px=((slice(20, 22), row), 60.0))
    beyond = Footfall("f", Side.LEFT, FrameNumber(LAST + 60), FrameNumber(LAST + 90))
    assert asked(loose, (beyond,)) == asked(loose) != []
    within = Footfall("f", Side.LEFT, FrameNumber(FIRST + 18), FrameNumber(LAST + 90))
    assert asked(loose, (within,)) == asked(loose)
