"""Places smoothed both ways: against the same chain of normal errors solved whole, by NumPy."""

import numpy as np
import pytest

from analysis.derive.following.smoothing import neighbours_alike, smooth


def chain(rng, frames=40, every=8):
    """Clicks on every eighth frame, moves of uneven sureness between frames, and its covariance, (n, n)."""
    placed = np.full((frames, 1, 2), np.nan)
    placed_u = np.full((frames, 1), np.inf)
    known = np.arange(0, frames, every)
    placed[known] = rng.normal(0, 30, (len(known), 1, 2))
    placed_u[known] = rng.uniform(0.8, 2.0, (len(known), 1))
    moves = rng.normal(0, 2, (frames - 1, 1, 2))
    moves_u = rng.uniform(0.1, 1.2, (frames - 1, 1))
    information = np.diag(np.where(np.isfinite(placed_u[:, 0]), placed_u[:, 0] ** -2.0, 0.0))
    step = np.diff(np.eye(frames), axis=0) / moves_u
    information += step.T @ step
    return placed, placed_u, moves, moves_u, np.linalg.inv(information), step


def test_places_and_errors_are_those_of_the_whole_chain():
    placed, placed_u, moves, moves_u, covariance, step = chain(np.random.default_rng(2))
    clicks = np.nan_to_num(placed[:, 0]) / placed_u**2
    expected = covariance @ (clicks + step.T @ (moves[:, 0] / moves_u))
    places, u = smooth(placed, placed_u, moves, moves_u)
    assert places[:, 0] == pytest.approx(expected, abs=1e-8)
    assert u[:, 0] == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-9)


def test_errors_of_neighbours_go_together_as_in_the_whole_chain():
    placed, placed_u, _, moves_u, covariance, _ = chain(np.random.default_rng(3))
    size = np.sqrt(np.diag(covariance))
    correlation = covariance / np.outer(size, size)
    alike = neighbours_alike(placed, placed_u, moves_u)[:, 0]
    assert alike == pytest.approx(np.diagonal(correlation, 1), rel=1e-9)
    # a chain: what frames farther apart share is the product of what lies between
    assert np.prod(alike[5:17]) == pytest.approx(correlation[5, 17], rel=1e-9)
