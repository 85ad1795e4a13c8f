"""Lengths of thigh and shin as a measurement: a leg of known lengths, by plane geometry alone."""

import numpy as np
import pytest

from analysis.derive.following.lengths import hold_lengths

NAMES = ("left_hip", "left_knee", "left_ankle", "left_toe")
FRAMES, EVERY = 240, 12
THIGH, SHIN, CLICK, FOLLOWED = 40.0, 42.0, 1.5, 1.2


@pytest.fixture
def leg():
    """A stiff leg that swings and bends, (n, 4, 2)."""
    t = np.arange(FRAMES) / 40.0
    hip = np.stack([300 + 4.0 * np.arange(FRAMES), 200 + 5 * np.sin(t)], axis=1)
    swing, bend = 0.6 * np.sin(t), 0.7 + 0.6 * np.cos(t)
    knee = hip + THIGH * np.stack([np.sin(swing), np.cos(swing)], axis=1)
    ankle = knee + SHIN * np.stack([np.sin(swing - bend), np.cos(swing - bend)], axis=1)
    return np.stack([hip, knee, ankle, ankle + np.array([12.0, 4.0])], axis=1)


def clicked(leg, rng):
    placed = np.full(leg.shape, np.nan)
    placed[::EVERY] = leg[::EVERY] + rng.normal(0, CLICK, leg[::EVERY].shape)
    return placed, np.where(np.isfinite(placed[..., 0]), CLICK, np.inf)


def held(leg, followed, rng):
    return hold_lengths(followed, np.full(leg.shape[:2], FOLLOWED), *clicked(leg, rng), NAMES)


def rms(off):
    return float(np.sqrt(np.mean(off**2)))


def test_points_come_nearer_to_the_truth_and_the_lengths_most_of_all(leg):
    rng = np.random.default_rng(4)
    followed = leg + rng.normal(0, FOLLOWED, leg.shape)
    found = held(leg, followed, rng)
    # two lengths tell of two of the six coordinates: at best a third of the variance goes
    assert 0.80 < rms(found[:, :3] - leg[:, :3]) / rms(followed[:, :3] - leg[:, :3]) < 0.92
    for limb, true in ((0, THIGH), (1, SHIN)):
        before, after = (
            np.linalg.norm(p[:, limb + 1] - p[:, limb], axis=1) - true for p in (followed, found)
        )
        assert rms(after) < 0.65 * rms(before)


def test_what_is_no_thigh_or_shin_stays(leg):
    rng = np.random.default_rng(5)
    followed = leg + rng.normal(0, FOLLOWED, leg.shape)
    found = held(leg, followed, rng)
    assert np.array_equal(found[:, 3], followed[:, 3])
    alone = hold_lengths(
        followed[:, :2], np.ones((FRAMES, 2)), followed[:, :2], np.ones((FRAMES, 2)), NAMES[:2]
    )
    assert np.array_equal(alone, followed[:, :2])


def test_a_limb_that_lengthens_by_half_is_not_averaged(leg):
    """The knee has slipped: it is left there, so that it can be asked about."""
    rng = np.random.default_rng(6)
    followed = leg + rng.normal(0, FOLLOWED, leg.shape)
    slipped = followed.copy()
    slipped[100, 1] += 0.5 * SHIN * np.array([0.2, -0.98])
    found = held(leg, slipped, rng)
    assert np.linalg.norm(found[100, 1] - slipped[100, 1]) < 3 * FOLLOWED
    assert np.linalg.norm(found[100, 1] - leg[100, 1]) > 0.3 * SHIN


def test_a_leg_that_comes_nearer_to_the_camera_grows_as_its_clicks_do(leg):
    rng = np.random.default_rng(7)
    scale = np.linspace(0.9, 1.15, FRAMES)[:, None, None]
    near = (leg - leg[:, :1]) * scale + leg[:, :1]
    followed = near + rng.normal(0, FOLLOWED, leg.shape)
    found = held(near, followed, rng)
    grown = np.linalg.norm(found[:, 1] - found[:, 0], axis=1)
    assert grown[:20].mean() == pytest.approx(0.9 * THIGH, abs=0.8)
    assert grown[-20:].mean() == pytest.approx(1.14 * THIGH, abs=0.8)


def test_with_two_placed_frames_nothing_is_held(leg):
    placed = np.full(leg.shape, np.nan)
    placed[[0, -1]] = leg[[0, -1]]
    u = np.where(np.isfinite(placed[..., 0]), CLICK, np.inf)
    followed = leg + 1.0
    assert np.array_equal(hold_lengths(followed, np.ones(leg.shape[:2]), placed, u, NAMES), followed)
