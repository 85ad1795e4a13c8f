"""The band along the ground line, against places worked out by hand."""

import numpy as np
import pytest

from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import BandPlace, Cutter

ROWS, COLUMNS = 40, 60


def canvas(maps=None):
    return Canvas(0, COLUMNS, ROWS, maps, np.tile([0.0, COLUMNS - 1.0], (1, 1)))


def rising():
    """A picture whose every pixel tells its row."""
    return np.repeat(np.arange(1, ROWS + 1, dtype=np.uint8)[:, None], COLUMNS, axis=1)


def cut(place, picture, times=1, maps=None):
    cutter = Cutter(canvas(maps), place, times)
    out = np.zeros((*cutter.shape, *picture.shape[2:]), np.uint8)
    cutter.cut(0, picture, out)
    return out


def test_the_line_lies_in_one_row_though_it_slopes():
    band = cut(BandPlace(0.1, 18.0, 6, 4), rising())
    line = np.round(0.1 * np.arange(COLUMNS) + 18.0).astype(int)
    assert band.shape == (10, COLUMNS)
    # the picture tells row + 1; a half may be rounded either way
    assert np.abs(band[6].astype(int) - (line + 1)).max() <= 1
    assert np.mean(band[6] == line + 1) > 0.8


def test_what_reaches_below_the_picture_stays_black():
    band = cut(BandPlace(0.0, ROWS - 2.0, 3, 6), rising())
    assert (band[:5] > 0).all()
    assert (band[5:] == 0).all()


def test_half_a_picture_gives_half_the_band():
    half = np.stack([rising()[::2, ::2]] * 2, axis=2)
    band = cut(BandPlace(0.0, 20.0, 8, 4), half, times=2)
    assert band.shape == (6, COLUMNS // 2, 2)
    assert band[4, 0, 0] == 21  # the line's row, 20, tells 21


@pytest.mark.parametrize("times", [1, 2])
def test_a_moved_camera_is_moved_back(times):
    moved = np.array([[[1.0, 0, 0], [0, 1.0, 4.0], [0, 0, 1.0]]])  # looks 4 px too high
    picture = rising()[::times, ::times].copy()
    band = cut(BandPlace(0.0, 20.0, 8, 4), picture, times, moved)
    assert band[8 // times, 5] == pytest.approx(17, abs=1)
