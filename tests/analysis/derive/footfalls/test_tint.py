"""The usual level of a band, counted level by level, against NumPy's median."""

import numpy as np
import pytest

from analysis.derive.footfalls.tint import _middle


@pytest.mark.parametrize("shape", [(1, 1, 1), (3, 4, 5), (5, 8, 6), (2, 1, 2)])
@pytest.mark.parametrize("seed", range(5))
def test_the_usual_level_is_the_median_of_what_is_seen(shape, seed):
    levels = np.random.default_rng(seed).integers(0, 256, shape).astype(np.uint8)
    levels.flat[0] = 7
    levels[levels > 200] = 0
    assert _middle(levels) == np.median(levels[levels > 0])


def test_two_levels_have_their_middle_between_them():
    assert _middle(np.array([[[0, 10, 13]]], np.uint8)) == 11.5
