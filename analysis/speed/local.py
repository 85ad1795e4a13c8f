"""A short piece of curve around a mark: the speed there, and the time at which the hip passes it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Number, combine, normal
from analysis.ground.place import HipTrack
from analysis.speed.swing import SWING_U_M, StepClock, crowding
from analysis.values.estimate import NoValue
from analysis.values.words import signed, tr

Floats = npt.NDArray[np.float64]

WOBBLE_M = 0.005
"""How far the body strays from a quadratic and one sinusoid over two steps, m, standard deviation (own
assumption)."""
UNEVEN_U_M_S = 0.01
"""How far the speed at a mark strays from a smooth piece through two steps, since steps are uneven, m/s
(own assumption)."""
FADING_M_S3 = (-1.5, 1.5)
"""How fast the acceleration itself fades, and its standard deviation: over two steps points hardly tell (own
assumption)."""
ACCELERATION_M_S2 = (2.0, 2.0)
"""Acceleration to expect and its standard deviation where points can't tell it (own assumption)."""
DOES_NOT_HOLD = 3.0
"""Root mean square residual, in its own standard uncertainties, above which a piece does not hold."""
EDGE = 0.02
"""A point this share of a step inside the edge of the window still counts as a whole step away."""


@dataclass(frozen=True, eq=False)
class Piece:
    """``x = c0 + c1 s + c2 s^2 / 2 + c3 s^3 / 6`` + swing about time ``about_s``, at which the hip is about
    at ``x_m``; ``parameters`` (6,) and how they move; ``rms_sigmas``: root mean square residual over its own
    standard uncertainty.
    """

    x_m: float
    about_s: float
    parameters: Floats
    covariance: Floats
    shared: Floats
    rms_sigmas: float
    track: HipTrack
    clock: StepClock

    def smooth(self, s: float) -> Floats:
        """Weights of the parameters in the place at ``about_s + s`` without the swing."""
        return np.array([1.0, s, s * s / 2, s**3 / 6, 0.0, 0.0])

    def swung(self, *after_s: float) -> Floats:
        """The same with the swing, for several times: (n, 6)."""
        s = np.array(after_s)
        return np.column_stack([np.ones_like(s), s, s * s / 2, s**3 / 6, self.clock.swing(self.about_s + s)])

    def slope(self, s: float) -> Floats:
        """Weights of the parameters in the step-averaged speed."""
        return np.array([0.0, 1.0, s, s * s / 2, 0.0, 0.0])

    def number(self, value: float, gradient: Floats, more_u: float = 0.0) -> Number:
        """A number that moves with the parameters by ``gradient``."""
        parts = self.track.places.shared_parts(gradient @ self.shared)
        parts[normal(math.sqrt(max(0.0, float(gradient @ self.covariance @ gradient)) + more_u**2))] = 1.0
        return combine(value, parts)


def local_speed(piece: Piece | NoValue) -> Number:
    """Step-averaged speed in m/s at the place of a piece: a weighted polynomial through the places within one
    whole step either side.

    A quadratic, with a third power that is all but fixed beforehand: the acceleration fades.

    A sinusoid at step frequency stands beside it, so that points clicked only at touchdowns and
    toe-offs compare like with like: its slope comes from places of the same phase. Needs points to a whole
    step before and past the mark.
    """
    if isinstance(piece, NoValue):
        return piece
    step, x_m, times_s = piece.clock.step_time(piece.about_s), piece.x_m, piece.track.times_s
    before, past = piece.about_s - times_s[0], times_s[-1] - piece.about_s
    if past < (1 - EDGE) * step:
        return NoValue(
            tr(
                "The hip places end less than a whole step past {x} m: place the hip on to the next "
                "touchdown, or film farther."
            ).format(x=signed(x_m))
        )
    if before < (1 - EDGE) * step:
        return NoValue(
            tr("The hip places begin less than a whole step before {x} m: place the hip earlier.").format(
                x=signed(x_m)
            )
        )
    gradient = piece.slope(0.0) - piece.smooth(0.0) * piece.parameters[2] / piece.parameters[1]
    return piece.number(float(piece.parameters[1]), gradient, UNEVEN_U_M_S)


def passing_time(piece: Piece | NoValue) -> Number:
    """Time in s from the film's first frame at which the hip centre itself passes the place of a piece, swing
    included.
    """
    if isinstance(piece, NoValue):
        return piece
    s, x_m = 0.0, piece.x_m
    for _ in range(20):
        fine = 1e-4
        early, late, here = (piece.swung(s - fine, s + fine, s) @ piece.parameters).tolist()
        rate = (late - early) / (2 * fine)
        step = (here - x_m) / rate if rate > 0 else math.inf
        if not abs(step) < 1.0:
            return NoValue(
                tr("The hip places around {x} m do not run forwards. Look at them.").format(x=signed(x_m))
            )
        s -= step
        if abs(step) < 1e-10:
            break
    return piece.number(piece.about_s + s, -piece.swung(s)[0] / rate)


def passes(track: HipTrack, x_m: float) -> NoValue | None:
    """The sentence that says why the places never pass ``x_m``, or None."""
    x = track.places.x
    if not math.isfinite(x_m):
        return NoValue(tr("The place to report at is not a number. Set it again."))
    if len(x) < 2 or x.min() > x_m:
        return NoValue(
            tr("No hip place stands before {x} m. Place the hip on earlier frames.").format(x=signed(x_m))
        )
    if x.max() < x_m:
        return NoValue(
            tr("No hip place stands past {x} m. Place the hip on later frames.").format(x=signed(x_m))
        )
    return None


def piece_around(track: HipTrack, clock: StepClock, x_m: float) -> Piece | NoValue:
    """The piece through the places about the moment at which the hip passes ``x_m``; why there is none."""
    refused = passes(track, x_m)
    if refused is not None:
        return refused
    t, x = track.times_s, track.places.x
    after = int(np.argmax(x >= x_m))
    before = max(0, after - 1)
    rise = x[after] - x[before]
    about = float(t[before] + (t[after] - t[before]) * ((x_m - x[before]) / rise if rise > 0 else 0.0))
    piece: Piece | None = None
    for _ in range(3):
        piece = _fit_piece(track, clock, about, x_m)
        if piece is None:
            return NoValue(
                tr(
                    "Too few hip places around {x} m: place the hip at every touchdown and toe-off there."
                ).format(x=signed(x_m))
            )
        c0, c1, c2 = piece.parameters[:3]
        if c1 <= 0:
            return NoValue(
                tr("The hip places around {x} m do not run forwards. Look at them.").format(x=signed(x_m))
            )
        s = (x_m - c0) / c1
        s -= (c0 + c1 * s + c2 * s * s / 2 - x_m) / max(0.1, c1 + c2 * s)
        if abs(s) < 1e-6:
            break
        about += float(np.clip(s, -0.2, 0.2))
    else:
        piece = _fit_piece(track, clock, about, x_m)
    if piece is None:
        return NoValue(tr("Too few hip places around {x} m.").format(x=signed(x_m)))
    if piece.rms_sigmas > DOES_NOT_HOLD:
        return NoValue(
            tr(
                "The hip places around {x} m stray from a steady run by {times:.0f} times their error. "
                "Look at the hips there, and at the marks."
            ).format(x=signed(x_m), times=piece.rms_sigmas)
        )
    return piece


def _fit_piece(track: HipTrack, clock: StepClock, about: float, x_m: float) -> Piece | None:
    t = track.times_s
    reach = clock.step_time(about) * (1 + EDGE)
    inside = np.abs(t - about) <= reach
    if inside.sum() < 3 or not (t[inside].min() <= about <= t[inside].max()):
        return None
    s = t[inside] - about
    sigma = np.sqrt(track.places.own[inside] ** 2 + WOBBLE_M**2 * crowding(t[inside]))
    design = np.ones((len(s), 6))
    for power, size in enumerate((s, s * s / 2, s**3 / 6), 1):
        design[:, power] = size
    design[:, 4:] = clock.swing(t[inside])
    design /= sigma[:, None]
    goal = track.places.x[inside] / sigma
    expected, expected_u = ACCELERATION_M_S2
    fading, fading_u = FADING_M_S3
    prior = np.diag([0.0, 0.0, 1 / expected_u, 1 / fading_u, 1 / SWING_U_M, 1 / SWING_U_M])[2:]
    rows = np.vstack([design, prior])
    target = np.concatenate([goal, [expected / expected_u, fading / fading_u, 0.0, 0.0]])
    covariance = np.linalg.inv(rows.T @ rows)
    parameters = covariance @ rows.T @ target
    shared = covariance @ design.T @ (track.places.shared[inside] / sigma[:, None])
    miss = rows @ parameters - target
    rms = math.sqrt(float(miss @ miss) / max(1, len(s) - 2))  # four expectations, six parameters
    return Piece(x_m, about, parameters, covariance, shared, rms, track, clock)
