"""Frames between mapped ones, against a turn in closed form."""

import numpy as np

from analysis.background.between import fill
from tests.analysis.background.rendering import background, through

SHAPE = (360, 640)


def swing(time_s):
    """A shift to and fro of 20 px at 1 Hz, the picture's roll with it."""
    angle = 0.01 * np.sin(2 * np.pi * time_s)
    u = 20 * np.sin(2 * np.pi * time_s)
    return np.array([[np.cos(angle), -np.sin(angle), u], [np.sin(angle), np.cos(angle), 0.1 * u], [0, 0, 1]])


def test_a_smooth_swing_is_met_and_the_stated_error_holds():
    times = np.arange(241) / 240
    at = list(range(0, 241, 8))
    maps = np.stack([swing(times[n]) for n in at])
    every, error = fill(times, at, maps, np.full(len(at), 0.01), SHAPE)
    places = background()
    off = [
        np.abs(through(m, places) - through(swing(t), places)).max()
        for m, t in zip(every, times, strict=True)
    ]
    assert max(off) < 0.1
    assert np.mean(np.array(off) <= 2 * error + 1e-9) > 0.95


def test_jerks_between_mapped_frames_are_counted():
    times = np.arange(241) / 240
    at = list(range(0, 241, 8))
    chance = np.random.default_rng(4).normal(0, 3, len(at))
    maps = np.stack([swing(times[n]) for n in at])
    maps[:, 0, 2] += chance
    _, calm = fill(times, at, np.stack([swing(times[n]) for n in at]), np.full(len(at), 0.01), SHAPE)
    _, jerky = fill(times, at, maps, np.full(len(at), 0.01), SHAPE)
    assert jerky[4::8].mean() > 10 * calm[4::8].mean()
    np.testing.assert_array_equal(jerky[::8], 0.01)


def test_what_lies_beside_a_lost_frame_is_lost():
    times = np.arange(41) / 240
    at = list(range(0, 41, 8))
    error = np.array([0.1, 0.1, np.inf, 0.1, 0.1, 0.1])
    _, every = fill(times, at, np.tile(np.eye(3), (6, 1, 1)), error, SHAPE)
    assert np.isinf(every[9:24]).all()
    assert np.isfinite(np.delete(every, np.s_[9:24])).all()
