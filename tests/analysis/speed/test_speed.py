"""Speeds and splits from places: made from known curves, with and without a swing, at clicks and on every
frame."""

import math

import numpy as np
import pytest

from analysis.ground.carried import estimate, normal
from analysis.ground.place import HipTrack, Places
from analysis.speed.curve import SpeedCurve, fit_curve
from analysis.speed.local import local_speed, passing_time, piece_around
from analysis.speed.model import position, time_at, velocity
from analysis.speed.swing import StepClock
from analysis.speed.zero import leaves_rest
from analysis.values.estimate import Estimate, NoValue

VMAX, TAU, START, X0 = 8.6, 1.15, 0.4, -0.3
STEP = 0.235
CONTACT = 0.13
DOWNS = 0.9 + STEP * np.arange(12)


def hip(t, swing=0.0):
    body = X0 + position(np.asarray(t) - START, VMAX, TAU)
    phase = 2 * np.pi * (np.asarray(t) - DOWNS[0]) / STEP
    return body + np.where(np.asarray(t) >= DOWNS[0], swing * np.sin(phase + 0.7), 0.0)


def track_of(t, x, u=0.01, scale_u=0.0):
    shared = np.asarray(x)[:, None] * scale_u
    places = Places(np.asarray(x), np.full(len(t), u), shared, (normal(1.0),))
    return HipTrack(np.arange(len(t)), np.asarray(t), places, np.zeros(len(t), bool))


CLICKS = np.sort(np.concatenate([DOWNS, DOWNS + CONTACT]))
CLOCK = StepClock(DOWNS.tolist())


def true_speed(x):
    return float(velocity(time_at(np.array([x - X0]), VMAX, TAU), VMAX, TAU)[0])


@pytest.mark.parametrize("swing", [0.0, 0.02])
@pytest.mark.parametrize("x", [5.0, 10.0])
@pytest.mark.parametrize("times", [CLICKS, np.arange(0.9, 3.6, 1 / 240)])
def test_step_averaged_speed_is_free_of_the_swing(swing, x, times):
    track = track_of(times, hip(times, swing))
    local = estimate(local_speed(piece_around(track, CLOCK, x)))
    assert local.value == pytest.approx(true_speed(x), abs=0.03)
    assert local.low <= true_speed(x) <= local.high
    curve = fit_curve(track, CLOCK, START)
    assert isinstance(curve, SpeedCurve)
    assert estimate(curve.speed_at(x)).value == pytest.approx(true_speed(x), abs=0.02)


def test_a_swing_left_in_would_bias_clicks():
    """What the sinusoid is for: a plain quadratic through the same clicks is out by more."""
    x = hip(CLICKS, 0.02)
    at = START + float(time_at(np.array([10.0 - X0]), VMAX, TAU)[0])
    near = np.abs(CLICKS - at) <= STEP * 1.02
    plain = np.polyfit(CLICKS[near] - at, x[near], 2)[1]
    read = estimate(local_speed(piece_around(track_of(CLICKS, x), CLOCK, 10.0))).value
    assert abs(read - true_speed(10.0)) < abs(plain - true_speed(10.0)) / 2


def test_stated_errors_hold_under_noise():
    rng = np.random.default_rng(11)
    held = {"local": [], "model": [], "split": []}
    truth_t = START + float(time_at(np.array([10.0 - X0]), VMAX, TAU)[0])
    for _ in range(300):
        track = track_of(CLICKS, hip(CLICKS) + rng.normal(0, 0.012, len(CLICKS)), 0.012)
        for name, number, truth in (
            ("local", local_speed(piece_around(track, CLOCK, 10.0)), true_speed(10.0)),
            ("model", fit_curve(track, CLOCK, START).speed_at(10.0), true_speed(10.0)),
            ("split", passing_time(piece_around(track, CLOCK, 10.0)), truth_t),
        ):
            shown = estimate(number)
            held[name].append(shown.low <= truth <= shown.high)
    assert 0.93 <= np.mean(held["local"]) <= 0.99
    assert np.mean(held["model"]) >= 0.95
    assert np.mean(held["split"]) >= 0.93


def test_a_scale_error_that_all_places_share_is_carried_in_full():
    """A scale one per cent out makes the speed one per cent out (less what the curve's bend takes away)."""
    exact = track_of(CLICKS, hip(CLICKS), u=1e-5)
    scaled = track_of(CLICKS, hip(CLICKS), u=1e-5, scale_u=0.01)
    for read in (
        lambda t: local_speed(piece_around(t, CLOCK, 10.0)),
        lambda t: fit_curve(t, CLOCK, START).speed_at(10.0),
    ):
        added = math.sqrt(estimate(read(scaled)).u ** 2 - estimate(read(exact)).u ** 2)
        moved = track_of(CLICKS, hip(CLICKS) * 1.01, u=1e-5)
        assert added == pytest.approx(abs(estimate(read(moved)).value - estimate(read(exact)).value), rel=0.1)
        assert added > 0.03


def test_points_that_stop_short_of_a_step_past_the_mark_give_no_speed():
    at = START + float(time_at(np.array([10.0 - X0]), VMAX, TAU)[0])
    times = CLICKS[at + 0.9 * STEP > CLICKS]
    found = local_speed(piece_around(track_of(times, hip(times)), CLOCK, 10.0))
    assert isinstance(found, NoValue)
    assert "whole step past" in found.reason
    # the time of passing can still be told
    assert estimate(
        passing_time(piece_around(track_of(times, hip(times)), CLOCK, 10.0))
    ).value == pytest.approx(at, abs=0.002)


@pytest.mark.parametrize("x", [-5.0, 40.0, float("nan"), float("inf")])
def test_a_place_that_is_never_passed_gives_a_sentence(x):
    track = track_of(CLICKS, hip(CLICKS))
    for found in (local_speed(piece_around(track, CLOCK, x)), passing_time(piece_around(track, CLOCK, x))):
        assert isinstance(found, NoValue)
        assert found.reason.endswith(".")


def test_a_curve_that_does_not_hold_says_so():
    x = hip(CLICKS)
    x[9] += 0.6
    found = fit_curve(track_of(CLICKS, x), CLOCK, START)
    assert isinstance(found, NoValue)
    assert "frame 9" in found.reason


def test_too_few_places_say_what_to_do():
    found = fit_curve(track_of(CLICKS[:5], hip(CLICKS[:5])), CLOCK, START)
    assert isinstance(found, NoValue)
    assert "every touchdown" in found.reason


def test_the_same_places_give_the_same_numbers():
    one, two = (
        estimate(fit_curve(track_of(CLICKS, hip(CLICKS, 0.01)), CLOCK, START).speed_at(10.0)) for _ in "ab"
    )
    assert one == two
    assert isinstance(one, Estimate)


def test_step_phase_counts_a_missed_touchdown_as_one_more_step():
    whole = StepClock(DOWNS.tolist())
    missed = StepClock(np.delete(DOWNS, 4).tolist())
    t = np.linspace(0.5, 4.0, 50)
    assert missed.phase(t) == pytest.approx(whole.phase(t), abs=1e-9)


# --- clock zero ---

FRAMES = np.arange(0.0, 1.0, 1 / 240)


def resting(noise=0.0, seed=1):
    """Hip at rest until 0.5 s, then off with 5 m/s2."""
    x = X0 + 0.5 * 5.0 * np.maximum(0.0, FRAMES - 0.5) ** 2
    return x + np.random.default_rng(seed).normal(0, noise, len(FRAMES)) if noise else x


def test_clock_zero_is_20_mm_forward_of_the_rest():
    found = estimate(leaves_rest(track_of(FRAMES, resting(1e-4)), 0.9))
    assert found.value == pytest.approx(0.5 + math.sqrt(2 * 0.02 / 5.0), abs=0.002)


def test_clock_zero_holds_its_error_under_noise():
    truth = 0.5 + math.sqrt(2 * 0.02 / 5.0)
    held = []
    for seed in range(200):
        found = estimate(leaves_rest(track_of(FRAMES, resting(0.002, seed)), 0.9))
        held.append(found.low <= truth <= found.high)
    assert np.mean(held) >= 0.9


def test_a_rock_forward_and_back_does_not_start_the_clock():
    x = resting(1e-4)
    rock = (FRAMES > 0.3) & (FRAMES < 0.4)
    x[rock] += 0.03 * np.sin((FRAMES[rock] - 0.3) / 0.1 * np.pi)
    found = estimate(leaves_rest(track_of(FRAMES, x), 0.9))
    assert found.value == pytest.approx(0.589, abs=0.003)


@pytest.mark.parametrize(
    ("times", "x", "word"),
    [
        (FRAMES, resting(0.01), "scatter"),
        (FRAMES[100:], resting()[100:], "rest"),
        (FRAMES[110:], resting()[110:], "moves"),
        (np.array([0.0, 0.9]), np.array([0.0, 0.4]), "rest"),
    ],
)
def test_where_no_rest_shows_there_is_no_clock_zero(times, x, word):
    found = leaves_rest(track_of(times, x), 0.9)
    assert isinstance(found, NoValue)
    assert word in found.reason
