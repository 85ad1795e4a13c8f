"""A thrown thing in free flight: a straight line along the ground, a parabola above it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.body.flight_measures import GRAVITY_M_S2
from analysis.ground.carried import Carried, normal, weighed

Floats = npt.NDArray[np.float64]

LEAST_FRAMES = 4
"""A parabola through fewer places has nothing left that could speak against it."""


@dataclass(frozen=True)
class FreeFlight:
    """Place ``x``, ``y`` in m and velocity ``vx``, ``vy`` in m/s at time 0, g fixed at 9.80665 m/s2.

    ``gravity``: what a parabola with g left free falls by, m/s2. A scale that is wrong by some share makes g
    wrong by that share. ``scatter``: how far the places lie from the curve, in their own errors; about 1.
    """

    x: Carried
    y: Carried
    vx: Carried
    vy: Carried
    gravity: Carried
    scatter: float


def free_flight(times_s: Floats, x: Sequence[Carried], y: Sequence[Carried], own: Floats) -> FreeFlight:
    """Least squares through places at ``times_s``, (n,), counted from the moment that is asked about, at
    least four of them. ``own``: standard uncertainties of the places' own, (n, 2); where the places lie
    farther from the curve than these, they are taken to be as uncertain as they lie apart (own decision).
    """
    flat = np.column_stack([np.ones_like(times_s), times_s])
    level, slope = np.linalg.pinv(flat)
    fallen = GRAVITY_M_S2 * times_s**2 / 2
    xs, ys = (np.array([p.nominal_value for p in places]) for places in (x, y))
    scatter = _scatter(flat, xs, ys + fallen, own)
    more = math.sqrt(max(0.0, scatter**2 - 1.0))
    x = [place + normal(more * u) for place, u in zip(x, own[:, 0], strict=True)]
    y = [place + normal(more * u) for place, u in zip(y, own[:, 1], strict=True)]
    bend = np.linalg.pinv(np.column_stack([flat, -(times_s**2) / 2]))[2]
    return FreeFlight(
        x=weighed(level, x),
        y=weighed(level, y) + float(level @ fallen),
        vx=weighed(slope, x),
        vy=weighed(slope, y) + float(slope @ fallen),
        gravity=weighed(bend, y),
        scatter=scatter,
    )


def _scatter(flat: Floats, xs: Floats, ys: Floats, own: Floats) -> float:
    """Root mean square distance of places from both fits, in their own errors."""
    squares = 0.0
    for axis, places in enumerate((xs, ys)):
        fitted = flat @ np.linalg.lstsq(flat, places, rcond=None)[0]
        squares += float((((places - fitted) / np.maximum(own[:, axis], 1e-9)) ** 2).sum())
    return math.sqrt(squares / (2 * len(xs) - 4))
