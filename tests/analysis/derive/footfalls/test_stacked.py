"""Filters over many pictures in one call give what OpenCV and NumPy give for each alone."""

import cv2
import numpy as np
import pytest

from analysis.derive.footfalls.cutting import Band, BandPlace, Mix
from analysis.derive.footfalls.stacked import blurred_each, grown_each, share_of, slope_each


@pytest.fixture
def pictures():
    return np.random.default_rng(1).uniform(0, 255, (7, 9, 12)).astype(np.float32)


def test_blur_and_slope_keep_each_picture_to_itself(pictures):
    for one, soft, steep in zip(pictures, blurred_each(pictures), slope_each(pictures), strict=True):
        assert soft == pytest.approx(cv2.blur(one, (3, 3)), abs=1e-3)
        assert steep == pytest.approx(np.abs(cv2.Sobel(one, cv2.CV_32F, 1, 0, scale=0.125)), abs=1e-3)


def test_a_single_row_is_its_own_border(pictures):
    assert blurred_each(pictures[:, :1])[0] == pytest.approx(cv2.blur(pictures[0, :1], (3, 3)), abs=1e-3)


def test_what_grows_stays_in_its_picture(pictures):
    pixels = pictures > 230
    for one, grown in zip(pixels, grown_each(pixels, 1, 2), strict=True):
        assert (grown == (cv2.dilate(one.astype(np.uint8), np.ones((3, 5), np.uint8)) > 0)).all()


@pytest.mark.parametrize("share", [0.0, 0.5, 0.75, 1.0])
def test_the_share_of_levels_is_numpys_quantile(pictures, share):
    assert share_of(pictures, share) == pytest.approx(np.quantile(pictures, share, axis=0), abs=1e-3)
    assert share_of(pictures[:6], share) == pytest.approx(np.quantile(pictures[:6], share, axis=0), abs=1e-3)


def test_a_part_of_a_mixed_band_is_that_part_of_the_whole():
    """OpenCV doubles the colours of the whole band; a part must come out as if cut from that."""
    chance = np.random.default_rng(2)
    luma = chance.integers(1, 255, (3, 21, 30)).astype(np.uint8)
    tints = chance.integers(0, 255, (3, 11, 15, 2)).astype(np.uint8)
    luma[0, 3, 4] = 0
    mix = Mix((0.6, -0.8, 1.1), 40.0)
    band = Band(BandPlace(0.0, 100.0, 14, 7), luma, tints, mix)
    pair = tints.astype(np.float32) @ np.array(mix.weights[1:], np.float32)
    wide = np.stack([cv2.resize(one, (30, 22))[:21] for one in pair])
    whole = np.where(luma > 0, np.clip(luma * 0.6 + wide + 40, 1, 255), 0)
    rows, columns = slice(2, 17), slice(3, 28)
    part = band.look(slice(0, 3), rows, columns)
    assert np.abs(part - whole[:, rows, columns]).max() <= 1
    assert part[0, 1, 1] == 0
    assert np.abs(band.look(np.array([2]), slice(0, 21), slice(0, 30)) - whole[2:]).max() <= 1
