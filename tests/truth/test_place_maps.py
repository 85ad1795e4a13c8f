"""Pixels to metres against OpenCV's and scikit-image's homographies and what every projective map keeps."""

import cv2
import numpy as np
import pytest

from analysis.ground.homography import apply_map, fit_homography
from analysis.ground.line_map import fit_line_map

PIXELS = np.array([(120.0, 900.0), (1800.0, 900.0), (1650.0, 780.0), (270.0, 780.0)])
METRES = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 1.22), (0.0, 1.22)])
ONES = np.ones(4)
# OpenCV, scikit-image and dltx agree on this matrix, pixels to metres, to 1e-6
PUBLISHED = np.array(
    [[-1.75438596e-2, -2.19298246e-2, 21.8421053], [0, 2.46140351e-2, -22.1526316], [0, -4.38596491e-3, 1]]
)


def test_four_marks_give_the_known_matrix():
    found = fit_homography(METRES, PIXELS, ONES)
    back = np.linalg.inv(found.matrix())
    assert back / back[2, 2] == pytest.approx(PUBLISHED, abs=1e-6)
    assert found.metres(np.array([(960.0, 900.0), (960.0, 840.0), (500.0, 860.0)])) == pytest.approx(
        np.array([(5.0, 0.0), (5.0, 0.55019608), (2.08860759, 0.35518987)]), abs=1e-6
    )
    assert np.abs(found.residuals).max() < 1e-9


def test_four_marks_agree_with_opencv():
    theirs = cv2.getPerspectiveTransform(PIXELS.astype(np.float32), METRES.astype(np.float32))
    back = np.linalg.inv(fit_homography(METRES, PIXELS, ONES).matrix())
    assert back / back[2, 2] == pytest.approx(theirs, abs=2e-5)  # theirs is computed from float32


# scikit-image 0.26.0, transform.ProjectiveTransform.from_estimate: pixels to metres, and three places
SCIKIT_IMAGE = [
    (
        [(212.5, 871.0), (1704.0, 902.5), (1688.25, 520.0), (251.0, 498.75)],
        [(0.0, 0.0), (10.0, 0.0), (10.0, 2.5), (0.0, 2.5)],
        [
            [7.529966064976e-03, 7.787876252561e-04, -2.278441810405],
            [1.497485552648e-04, -7.090475243729e-03, 6.143982369294],
            [1.636592750200e-05, 1.082106140137e-04, 1.0],
        ],
        [
            (2.779324974705, 2.118583080296),
            (5.307759998943, 1.218186962957),
            (0.418588010547, 1.808334664779),
        ],
    ),
    (
        [(60.0, 640.0), (1210.0, 612.0), (1190.5, 470.0), (75.5, 430.0)],
        [(0.0, 0.0), (12.0, 0.0), (12.0, 1.5), (0.0, 1.5)],
        [
            [7.682511960051e-03, 5.670425494323e-04, -8.238579492398e-01],
            [-1.834673344544e-04, -7.535265522235e-03, 4.833577974298],
            [-3.088980698473e-04, 1.775887168924e-04, 1.0],
        ],
        [
            (4.891011350106, 0.550493463989),
            (8.898036470895, -0.765960850841),
            (1.796183302213, 0.253854000123),
        ],
    ),
]


@pytest.mark.parametrize(("pixels", "metres", "matrix", "places"), SCIKIT_IMAGE)
def test_four_marks_agree_with_scikit_image(pixels, metres, matrix, places):
    found = fit_homography(np.array(metres), np.array(pixels), ONES)
    back = np.linalg.inv(found.matrix())
    # four marks are met exactly: what is left is rounding
    assert back / back[2, 2] == pytest.approx(np.array(matrix), rel=1e-8, abs=1e-9)
    asked = np.array([(640.0, 560.0), (1000.0, 700.0), (300.0, 600.0)])
    assert found.metres(asked) == pytest.approx(np.array(places), abs=1e-8)


def test_many_noisy_marks_agree_with_opencv():
    """Least squares in the picture: OpenCV's refinement minimises the same sum."""
    rng = np.random.default_rng(3)
    truth = np.linalg.inv(PUBLISHED)
    metres = np.array([(x, y) for x in (0.0, 2.5, 5.0, 7.5, 10.0) for y in (0.0, 0.6, 1.22)])
    pixels = apply_map(truth, metres) + rng.normal(0, 1.5, (len(metres), 2))
    ours = fit_homography(metres, pixels, np.full(len(metres), 1.5)).matrix()
    theirs, _ = cv2.findHomography(metres, pixels, 0)
    assert ours / ours[2, 2] == pytest.approx(theirs, rel=1e-4, abs=1e-4)


def test_stated_error_of_a_place_holds_under_noisy_marks():
    rng = np.random.default_rng(4)
    truth = np.linalg.inv(PUBLISHED)
    metres = np.array([(x, y) for x in (0.0, 5.0, 10.0) for y in (0.0, 1.22)])
    exact = apply_map(truth, metres)
    query = np.array([(960.0, 860.0)])
    stated = fit_homography(metres, exact, np.full(6, 1.5))
    factor = np.linalg.cholesky(stated.covariance)
    moves = np.empty((2, 8, 1))
    stated.small_moves(query, stated.changes(factor.T), np.ones(1), moves)
    u = np.sqrt((moves**2).sum(axis=1))[:, 0]
    read = [
        fit_homography(metres, exact + rng.normal(0, 1.5, exact.shape), np.full(6, 1.5)).metres(query)[0]
        for _ in range(600)
    ]
    assert np.std(read, axis=0) == pytest.approx(u, rel=0.1)


def line_of(x, pixels_u, centre=(960.0, 540.0)):
    metres = np.column_stack([x, np.zeros(len(x))])
    pixels = np.column_stack([pixels_u, np.full(len(x), 700.0)])
    return fit_line_map(metres, pixels, np.ones(len(x)), np.array(centre), 1632.0, to_the_left=False)


def test_three_marks_on_a_line_predict_the_fourth_by_the_cross_ratio():
    """The cross ratio of four places on a line is the same in the picture: four marks made with one map."""

    def u_of(x):
        return (180.0 * x + 60.0) / (0.012 * x + 1.0)

    x = np.array([0.0, 5.0, 10.0])
    found = line_of(x, u_of(x))
    for place in (2.0, 7.5, 12.0):
        d = np.array([0.0, 5.0, 10.0, place])
        ratio = (d[0] - d[2]) * (d[1] - d[3]) / ((d[1] - d[2]) * (d[0] - d[3]))
        read = found.metres(np.array([[u_of(place), 700.0]]))[0]
        r = np.array([0.0, 5.0, 10.0, read[0]])
        assert (r[0] - r[2]) * (r[1] - r[3]) / ((r[1] - r[2]) * (r[0] - r[3])) == pytest.approx(
            ratio, rel=1e-9
        )
        assert read == pytest.approx([place, 0.0], abs=1e-9)
    assert np.abs(found.residuals).max() < 1e-7


def test_two_marks_give_one_scale_along_and_up():
    found = line_of(np.array([0.0, 10.0]), np.array([100.0, 1100.0]))
    assert found.metres(np.array([(600.0, 700.0), (600.0, 600.0)])) == pytest.approx(
        np.array([(5.0, 0.0), (5.0, 1.0)]), abs=1e-9
    )
