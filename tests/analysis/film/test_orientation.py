"""The turn that a display matrix asks for."""

import numpy as np
import pytest

from analysis.film.orientation import Orientation, from_matrix, oriented
from tests.analysis.film.making import drawn, matrix, placed
from tests.analysis.film.test_exact import TURNS


@pytest.mark.parametrize("turn", TURNS)
def test_pixels_go_where_the_matrix_sends_them(turn):
    picture = np.dstack([drawn(3), np.full((64, 96), 255, np.uint8)])
    found = from_matrix(matrix(*TURNS[turn]))
    shown = oriented(picture, found.rotation_deg, found.mirrored)
    assert np.array_equal(shown, placed(picture, matrix(*TURNS[turn])))
    assert shown.flags.c_contiguous


def test_names_of_the_turns():
    assert from_matrix(matrix(0, 1, -1, 0)) == Orientation(270)  # a phone held upright: a quarter clockwise
    assert from_matrix(matrix(0, -1, 1, 0)) == Orientation(90)
    assert from_matrix(matrix(-1, 0, 0, 1)) == Orientation(0, mirrored=True)


def test_a_slanted_matrix_takes_the_nearest_quarter_turn():
    assert from_matrix((64000, 9000, 0, -9000, 64000, 0, 0, 0, 1 << 30)) == Orientation(0, slanted=True)


def test_a_matrix_without_sense_turns_nothing():
    assert from_matrix((0,) * 9) == Orientation()
