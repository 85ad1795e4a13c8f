"""One acceleration curve through all of a run's hip places, and the speed that it means at a mark."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Number, combine, normal
from analysis.ground.place import HipTrack, Places
from analysis.speed.fit import Fit, fit
from analysis.speed.model import position, time_at, velocity
from analysis.speed.swing import SWING_U_M, StepClock, crowding
from analysis.values.estimate import NoValue
from analysis.values.reading import SpeedBand
from analysis.values.words import signed, tr

Floats = npt.NDArray[np.float64]

WOBBLE_M = 0.008
"""How far the body strays from curve and swing within a step, m, standard deviation (own assumption)."""
MODEL_U_M_S = 0.04
"""How far a run's step-averaged speed strays from so simple a curve, m/s, standard deviation (own
assumption)."""
FEWEST_POINTS = 7
DOES_NOT_HOLD = 3.0
"""Root mean square residual, in its own standard uncertainties, above which a fit does not hold."""
_PRIOR = np.array([math.log(8.5), math.log(1.1)])
_PRIOR_U = np.array([0.4, 0.5])
"""Greatest speed and time constant to expect, logarithms: 8.5 m/s and 1.1 s within a factor of about 1.5 (own
assumption, weak: it decides only where the places leave them open)."""
_REST_U_M = 0.5
_START_U_S = 0.2
_SAMPLES = 400
_SEED = 20_090_816


@dataclass(frozen=True, eq=False)
class SpeedCurve:
    """``x(t) = x0 + vmax (s - tau (1 - exp(-s/tau)))`` + swing, ``s = t - t_start``, and how well it is
    known.

    ``parameters``: log vmax, log tau, t_start in s, x0 in m, cosine and sine of the swing in m.
    ``covariance``: of these, from the points' own errors; ``samples``: their deviations in a bootstrap over
    steps, shape (samples, 6); whichever is wider counts. ``shared``: how the parameters move with each source
    that places share, shape (6, sources). ``rms_sigmas``: root mean square residual over its own standard
    uncertainty, after the swing.
    """

    parameters: Floats
    covariance: Floats
    samples: Floats
    shared: Floats
    places: Places
    rms_sigmas: float

    @property
    def vmax(self) -> float:
        """Speed that the curve tends to, m/s."""
        return math.exp(self.parameters[0])

    @property
    def tau(self) -> float:
        """Time constant, s."""
        return math.exp(self.parameters[1])

    def speed_at(self, x_m: float) -> Number:
        """Step-averaged speed in m/s where the curve without its swing passes ``x_m``."""
        small = 1e-5
        moves = small * np.concatenate([np.zeros((1, 6)), np.eye(6), -np.eye(6)])
        speeds, passes = _speeds(self.parameters + moves, x_m)
        if not passes[0]:
            return NoValue(tr("The fitted curve does not pass {x} m.").format(x=signed(x_m)))
        speeds = np.where(passes, speeds, speeds[0])
        return self.carried(float(speeds[0]), (speeds[1:7] - speeds[7:]) / (2 * small), MODEL_U_M_S)

    def carried(self, value: float, gradient: Floats, more_u: float = 0.0) -> Carried:
        """A number that hangs on the parameters, with their errors. ``gradient``: by each of them, (6,);
        ``more_u``: standard uncertainty beside these.
        """
        parts = self.places.shared_parts(gradient @ self.shared)
        parts[normal(math.sqrt(float(self._own_variance(gradient[None])[0]) + more_u**2))] = 1.0
        return combine(value, parts)

    def _own_variance(self, gradients: Floats) -> Floats:
        """Variance, (n,), of numbers that move with the parameters by ``gradients`` (n, 6), less what places
        share: from the points' own errors or from steps drawn anew, whichever is wider.
        """
        formal = ((gradients @ self.covariance) * gradients).sum(axis=1)
        resampled = np.mean((self.samples @ gradients.T) ** 2, axis=0)
        out: Floats = np.maximum(formal, resampled)
        return out

    def band(self, times_s: Floats) -> SpeedBand:
        """The step-averaged speed over time and over distance, with its 95 % interval at each time.

        ``times_s``: s from the film's first frame, shape (n,), after the curve's start.
        """
        p = self.parameters
        s = np.maximum(times_s - p[2], 0.0)
        decay = np.exp(-s / self.tau)
        v = velocity(s, self.vmax, self.tau)
        zero = np.zeros_like(s)
        gradient = np.column_stack(
            [v, -self.vmax * decay * s / self.tau, -self.vmax / self.tau * decay, zero, zero, zero]
        )
        shared = ((gradient @ self.shared) ** 2).sum(axis=1)
        half = 1.96 * np.sqrt(self._own_variance(gradient) + shared + MODEL_U_M_S**2)
        x = p[3] + position(s, self.vmax, self.tau)
        return SpeedBand(*(tuple(map(float, each)) for each in (times_s, x, v, v - half, v + half)))


def fit_curve(track: HipTrack, clock: StepClock, first_movement_s: float | None) -> SpeedCurve | NoValue:
    """The curve through the hip centre's places, by weighted least squares in the distance.

    One sinusoid at step frequency stands for the swing within a step (1.2 cm expected where the points can't
    tell). Uncertainty: the wider of that from the points' own errors and of a bootstrap with one step a
    block, one Gauss-Newton step a sample, fixed seed; the errors that all places share, and how far real runs
    stray from so simple a curve, are carried on top. ``first_movement_s``: where tagged, it says where the
    start is to be expected, 0.2 s either way. NoValue where there are too few points or the fit does not
    hold.
    """
    t, x = track.times_s, track.places.x
    if len(t) < FEWEST_POINTS or np.count_nonzero(t >= clock.touchdowns[0] - 1e-9) < FEWEST_POINTS - 1:
        return NoValue(
            tr("Too few hip places for a speed curve: place the hip at every touchdown and toe-off.")
        )
    sigma = np.sqrt(track.places.own**2 + WOBBLE_M**2 * crowding(t))
    waves = clock.swing(t)
    begin = first_movement_s if first_movement_s is not None else float(clock.touchdowns[0]) - 0.4
    expected = np.array([*_PRIOR, begin, 0.0, 0.0, 0.0])
    expected_u = np.array(
        [*_PRIOR_U, _START_U_S if first_movement_s is not None else 0.5, _REST_U_M, *([SWING_U_M] * 2)]
    )

    def residuals(p: Floats) -> Floats:
        return np.concatenate([(_places(p, t, waves) - x) / sigma, (p - expected) / expected_u])

    def jacobian(p: Floats) -> Floats:
        return np.vstack([_gradient(p, t, waves) / sigma[:, None], np.diag(1.0 / expected_u)])

    found = fit(residuals, expected, jacobian)
    miss = found.residuals[: len(t)]
    rms = float(np.sqrt(miss @ miss / max(1, len(t) - 4)))
    if not found.converged or not np.all(np.isfinite(found.parameters)):
        return NoValue(tr("No acceleration curve fits the hip places. Look for a misplaced hip or mark."))
    if rms > DOES_NOT_HOLD:
        worst = int(track.frames[int(np.argmax(np.abs(miss)))])
        return NoValue(
            tr(
                "The acceleration curve does not hold: the hip places stray from it by {times:.0f} times "
                "their error, most on frame {frame}. Look at the hip there, and at the marks."
            ).format(times=rms, frame=worst)
        )
    blocks = np.maximum(np.floor(clock.phase(t) + 1e-6), -1.0).astype(np.int64)
    moves = found.covariance @ found.jacobian[: len(t)].T @ (track.places.shared / sigma[:, None])
    return SpeedCurve(found.parameters, found.covariance, _bootstrap(found, blocks), moves, track.places, rms)


def _bootstrap(found: Fit, blocks: npt.NDArray[np.int64]) -> Floats:
    """Deviations of the parameters when whole steps are drawn with replacement, shape (samples, p)."""
    n, p = len(blocks), len(found.parameters)
    names, where = np.unique(blocks, return_inverse=True)
    matrix, miss = found.jacobian[:n], found.residuals[:n]
    information = np.zeros((len(names), p, p))
    slope = np.zeros((len(names), p))
    for block in range(len(names)):
        mine = where == block
        information[block] = matrix[mine].T @ matrix[mine]
        slope[block] = matrix[mine].T @ miss[mine]
    counts = _drawn(len(names))
    prior_rows, prior_miss = found.jacobian[n:], found.residuals[n:]
    normal_matrices = np.tensordot(counts, information, axes=1) + prior_rows.T @ prior_rows
    slopes = counts @ slope + prior_rows.T @ prior_miss
    size = np.sqrt(np.diag(normal_matrices.mean(axis=0)))
    steps = (
        np.linalg.solve(normal_matrices / np.outer(size, size), -(slopes / size)[:, :, None])[:, :, 0] / size
    )
    out: Floats = steps * math.sqrt(len(names) / max(1, len(names) - 1))
    return out


@lru_cache(maxsize=64)
def _drawn(blocks: int) -> Floats:
    """How often each of so many blocks comes in each sample, always alike, (samples, blocks)."""
    draws = np.random.default_rng(_SEED).multinomial(blocks, [1 / blocks] * blocks, size=_SAMPLES)
    counts = draws.astype(np.float64)
    counts.setflags(write=False)
    return counts


def _places(p: Floats, t: Floats, waves: Floats) -> Floats:
    out: Floats = p[3] + position(t - p[2], math.exp(p[0]), math.exp(p[1])) + waves @ p[4:6]
    return out


def _gradient(p: Floats, t: Floats, waves: Floats) -> Floats:
    vmax, tau = math.exp(p[0]), math.exp(p[1])
    s = np.maximum(t - p[2], 0.0)
    decay = np.exp(-s / tau)
    by_tau = -vmax * ((1 - decay) - s / tau * decay)
    return np.column_stack(
        [position(s, vmax, tau), tau * by_tau, -velocity(s, vmax, tau), np.ones_like(s), waves]
    )


def _speeds(parameters: Floats, x_m: float) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Speeds where curves of ``parameters`` (n, 6) pass ``x_m``, (n,), and whether they do."""
    vmax, tau, distance = np.exp(parameters[:, 0]), np.exp(parameters[:, 1]), x_m - parameters[:, 3]
    return velocity(time_at(distance, vmax, tau), vmax, tau), distance > 0
