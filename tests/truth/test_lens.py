"""The lens against OpenCV's: bending, straightening, and finding it again from rows that OpenCV bent."""

import cv2
import numpy as np
import pytest

from analysis.ground.lens import bent, moved_by_k1, straightened, stretch
from analysis.ground.lens_fit import lens_from_lines
from analysis.values.camera import Lens
from analysis.values.errors import MarkError

MATRIX = np.array([[1500.0, 0, 960], [0, 1500.0, 540], [0, 0, 1.0]])
LENS = Lens(-0.12, 1500.0, (960.0, 540.0))
QUERY = np.array([(1700.0, 300.0), (960.0, 540.0), (10.0, 1050.0), (1900.0, 20.0)])


def theirs(straight, k1):
    """OpenCV's projectPoints with one radial coefficient."""
    rays = np.column_stack([(straight - (960, 540)) / 1500.0, np.ones(len(straight))])
    out, _ = cv2.projectPoints(rays, np.zeros(3), np.zeros(3), MATRIX, np.array([k1, 0, 0, 0, 0.0]))
    return out.reshape(-1, 2)


@pytest.mark.parametrize("k1", [-0.12, 0.0, 0.2])
def test_bending_agrees_with_opencv(k1):
    lens = Lens(k1, 1500.0, (960.0, 540.0))
    assert bent(lens, QUERY) == pytest.approx(theirs(QUERY, k1), abs=1e-8)


@pytest.mark.parametrize("k1", [-0.12, 0.2])
def test_straightening_agrees_with_opencv_and_goes_round(k1):
    lens = Lens(k1, 1500.0, (960.0, 540.0))
    found = straightened(lens, QUERY)
    many = (cv2.TERM_CRITERIA_COUNT + cv2.TERM_CRITERIA_EPS, 200, 1e-12)
    their = cv2.undistortImagePoints(QUERY[:, None], MATRIX, np.array([k1, 0, 0, 0, 0.0]), None, many)
    assert found == pytest.approx(their.reshape(-1, 2), abs=0.01)  # theirs iterates
    assert bent(lens, found) == pytest.approx(QUERY, abs=1e-8)


def test_pixels_that_a_lens_folds_back_have_no_straight_place():
    folded = straightened(Lens(-0.3, 500.0, (960.0, 540.0)), np.array([(5.0, 5.0), (1000.0, 560.0)]))
    assert np.isnan(folded[0]).all()
    assert np.isfinite(folded[1]).all()


def test_stretch_and_the_coefficient_s_pull_are_the_map_s_own_slopes():
    small = 1e-4
    straight = straightened(LENS, QUERY)
    steps = [(straightened(LENS, QUERY + s) - straightened(LENS, QUERY - s)) / (2 * small)
             for s in (np.array([small, 0]), np.array([0, small]))]  # fmt: skip
    area = np.abs(steps[0][:, 0] * steps[1][:, 1] - steps[0][:, 1] * steps[1][:, 0])
    assert stretch(LENS, straight) == pytest.approx(np.sqrt(area), rel=1e-5)
    more, less = (straightened(Lens(-0.12 + k, 1500.0, (960.0, 540.0)), QUERY) for k in (small, -small))
    assert moved_by_k1(LENS, straight) == pytest.approx((more - less) / (2 * small), rel=1e-4, abs=1e-6)


def rows_of(k1, rng=None, error=0.0):
    """Three straight lines of the world near the picture's edges, seen by OpenCV's lens at 0.85 x 1920."""
    focal = 0.85 * 1920
    lines = [((60, 90), (1850, 60)), ((80, 1000), (1840, 1020)), ((120, 80), (90, 1000))]
    rows = []
    for a, b in lines:
        straight = np.array(a) + np.linspace(0, 1, 7)[:, None] * (np.array(b) - a)
        rays = np.column_stack([(straight - (959.5, 539.5)) / focal, np.ones(7)])
        matrix = np.array([[focal, 0, 959.5], [0, focal, 539.5], [0, 0, 1.0]])
        seen, _ = cv2.projectPoints(rays, np.zeros(3), np.zeros(3), matrix, np.array([k1, 0, 0, 0, 0.0]))
        rows.append(seen.reshape(-1, 2) + (0 if rng is None else rng.normal(0, error, (7, 2))))
    return rows


@pytest.mark.parametrize("k1", [-0.15, -0.03, 0.08])
def test_straight_lines_give_the_coefficient_that_bent_them(k1):
    fit = lens_from_lines(rows_of(k1), 1920, 1080)
    assert fit.lens.k1 == pytest.approx(k1, abs=1e-6)
    assert fit.left_px < 1e-5
    assert fit.bend_px > 2.0


def test_the_coefficient_s_uncertainty_is_its_spread():
    rng = np.random.default_rng(5)
    fits = [lens_from_lines(rows_of(-0.08, rng, 1.0), 1920, 1080, 1.0) for _ in range(80)]
    found = np.array([f.lens.k1 for f in fits])
    assert np.mean(found) == pytest.approx(-0.08, abs=3 * np.std(found) / np.sqrt(80) + 1e-4)
    stated = np.median([f.lens.k1_u for f in fits])
    assert np.std(found) == pytest.approx(stated, rel=0.25)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([[(0, 0), (10, 10)]], "three places"),
        ([[(100, 539.5), (959.5, 539.5), (1800, 539.5)]], "no bend"),
        ([[(100, 100), (900, 800), (1700, 100)]], "straight in the world"),
    ],
)
def test_rows_that_tell_no_lens_say_so(rows, words):
    with pytest.raises(MarkError, match=words):
        lens_from_lines([np.array(r, float) for r in rows], 1920, 1080)
