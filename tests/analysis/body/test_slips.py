"""Where followed points are asked about: one that slipped on purpose, and none that follows the truth."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.body.slips import slips
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
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


def changed(tracks, **arrays):
    copies = {name: getattr(tracks, name).copy() for name in arrays}
    for name, (where, value) in arrays.items():
        copies[name][where] = value
    return replace(tracks, **copies)


def test_the_truth_is_not_asked_about(true):
    assert slips(true) == []


def test_a_knee_that_slips_is_asked_about_where_it_is_worst(true):
    column, row = true.names.index("right_knee"), 30
    moved = true.places[row, column] + (25.0, 25.0)
    found = slips(changed(true, places=((row, column), moved)))
    asked = [d for d in found if "right" in d.name and d.frame == FIRST + row]
    assert len(asked) == 1
    assert f"Look at frame {FIRST + row}" in asked[0].sentence
    assert asked[0].followed


def test_a_point_known_too_loosely_is_asked_about_once_in_each_stretch(true):
    column = true.names.index("left_ankle")
    found = slips(changed(true, u_px=((slice(40, 47), column), 30.0)))
    asked = [d for d in found if d.name == "left_ankle"]
    assert len(asked) == 1
    assert FIRST + 40 <= asked[0].frame < FIRST + 47
    assert "59 px" in asked[0].sentence  # 1.96 standard uncertainties


def test_what_was_placed_is_not_asked_about(true):
    column = true.names.index("left_ankle")
    found = slips(changed(true, u_px=((EVERY, column), 30.0)))
    assert not any(d.name == "left_ankle" and d.frame == FIRST + EVERY for d in found)
