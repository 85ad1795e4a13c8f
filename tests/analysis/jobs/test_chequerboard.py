"""The lens from drawn pictures of a chequerboard whose camera is known."""

import cv2
import numpy as np
import pytest

from analysis.jobs.chequerboard import lens_from_chequerboard
from analysis.values.errors import MarkError

WIDTH, HEIGHT, FOCAL, K1 = 640, 360, 540.0, -0.12
COLUMNS, ROWS = 9, 6
SLANTS = [(-25, 20, 0), (20, -25, 8), (28, 24, -6), (-20, -28, 4), (0, 32, 10)]


def picture(tilt, turn, roll, k1=K1):
    """The board as a camera of this lens sees it: every pixel's straight ray met with the board's plane."""
    lean = cv2.Rodrigues(np.radians([tilt, 0, 0], dtype=float))[0]
    turned = cv2.Rodrigues(np.radians([0, turn, 0], dtype=float))[0]
    spun = cv2.Rodrigues(np.radians([0, 0, roll], dtype=float))[0]
    rotation, place = spun @ turned @ lean, np.array([0.0, 0.0, 16.5])
    fine = 2  # rays a pixel each way, for edges that are where they are
    u, v = np.meshgrid(
        (np.arange(WIDTH * fine) + 0.5) / fine - 0.5, (np.arange(HEIGHT * fine) + 0.5) / fine - 0.5
    )
    seen = (np.stack([u.ravel(), v.ravel()], axis=1) - ((WIDTH - 1) / 2, (HEIGHT - 1) / 2)) / FOCAL
    known = np.linspace(0.0, 1.0, 4001)
    r_seen = np.linalg.norm(seen, axis=1, keepdims=True)
    straight = seen * np.interp(r_seen, known * (1 + k1 * known**2), known) / np.maximum(r_seen, 1e-9)
    plane = np.linalg.inv(np.column_stack([rotation[:, 0], rotation[:, 1], place]))
    on_board = np.column_stack([straight, np.ones(len(straight))]) @ plane.T
    x, y = (on_board[:, :2] / on_board[:, 2:]).T
    column, row = np.floor(x + (COLUMNS + 1) / 2), np.floor(y + (ROWS + 1) / 2)
    inside = (column >= 0) & (column <= COLUMNS) & (row >= 0) & (row <= ROWS)
    grey = np.where(inside & ((column + row) % 2 == 0), 25.0, 225.0).reshape(HEIGHT * fine, WIDTH * fine)
    return grey.reshape(HEIGHT, fine, WIDTH, fine).mean(axis=(1, 3)).astype(np.uint8)


def test_the_lens_of_drawn_pictures_is_found():
    fit = lens_from_chequerboard([picture(*slant) for slant in SLANTS], COLUMNS, ROWS)
    assert len(fit.found) >= 4
    assert fit.left_px < 0.3
    assert fit.lens.k1 == pytest.approx(K1, abs=0.01)
    assert fit.lens.focal_px == pytest.approx(FOCAL, rel=0.01)
    assert fit.lens.centre == pytest.approx(((WIDTH - 1) / 2, (HEIGHT - 1) / 2), abs=4.0)
    assert 0.0 < fit.lens.k1_u < 0.02


def test_pictures_without_a_board_say_what_it_takes():
    empty = np.full((HEIGHT, WIDTH), 128, np.uint8)
    with pytest.raises(MarkError, match="found in 0 pictures"):
        lens_from_chequerboard([empty, empty, empty], COLUMNS, ROWS)


def test_pictures_of_two_sizes_are_refused():
    with pytest.raises(MarkError, match="differ in size"):
        lens_from_chequerboard([np.zeros((90, 160), np.uint8), np.zeros((180, 320), np.uint8)])
