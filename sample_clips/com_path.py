"""The path of the centre of mass: a saturating speed curve, a swing within each step, free flight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sample_clips.body import Array
from sample_clips.events import Schedule
from sample_clips.scenario import Scenario

G = 9.80665  # m/s2, standard gravity


@dataclass(frozen=True)
class SpeedModel:
    """v = vmax (1 - exp(-(t - start) / tau)); m, s."""

    vmax: float
    tau: float
    start: float
    x0: float

    def position(self, t: Array | float) -> Array:
        s = np.maximum(np.asarray(t, float) - self.start, 0.0)
        return np.asarray(self.x0 + self.vmax * (s - self.tau * (1.0 - np.exp(-s / self.tau))))

    def speed(self, t: Array | float) -> Array:
        s = np.maximum(np.asarray(t, float) - self.start, 0.0)
        return np.asarray(self.vmax * (1.0 - np.exp(-s / self.tau)))


def smooth(u: Array) -> Array:
    """From 0 to 1 with no speed and no acceleration at either end."""
    u = np.clip(u, 0.0, 1.0)
    return np.asarray(u**3 * (10.0 - 15.0 * u + 6.0 * u**2))


def _smooth_sum(u: Array) -> Array:
    return np.asarray(u**4 * (2.5 - 3.0 * u + u**2))


# The braking dip s^2 (1 - s)^3, its greatest value 1 at s = 0.4; its integral over 0..1 is 1/60 of the scale.
_DIP = 1.0 / (0.4**2 * 0.6**3)


def _dip_sum(u: Array) -> Array:
    return np.asarray(_DIP * (u**3 / 3.0 - 3.0 * u**4 / 4.0 + 3.0 * u**5 / 5.0 - u**6 / 6.0))


_DIP_TOTAL = _DIP / 60.0


def _quintic(u: Array, span: float, begin: Array, end: Array) -> Array:
    """Quintic from (value, speed, acceleration) to (value, speed, acceleration) over `span` s, u = 0..1."""
    rows = np.array(
        [
            [1, 0, 0, 0, 0, 0],
            [0, 1, 0, 0, 0, 0],
            [0, 0, 2, 0, 0, 0],
            [1, 1, 1, 1, 1, 1],
            [0, 1, 2, 3, 4, 5],
            [0, 0, 2, 6, 12, 20],
        ],
        dtype=float,
    )
    scale = np.array([1.0, span, span**2])
    c = np.linalg.solve(rows, np.concatenate([begin * scale, end * scale]))
    return np.asarray(np.polynomial.polynomial.polyval(u, c))


@dataclass(frozen=True)
class ComPath:
    """Where the centre of mass shall be. Exact from the end of the hips' going (see `Start`) onwards."""

    model: SpeedModel
    schedule: Schedule
    rest: Array  # (2,) x, y at rest
    flight_speed: Array  # (steps + 1,) horizontal speed in flight 0, 1, ...
    height_on: Array  # (steps,) at touchdown
    height_off: Array  # (steps + 1,) at front toe-off, toe-off 1, ...
    climb_off: Array  # (steps + 1,) vertical speed at those toe-offs

    def at(self, t: Array) -> Array:
        """Place (n, 2) in m at times (n,) in s after the first movement."""
        t = np.asarray(t, float)
        out = np.tile(self.rest, (len(t), 1))
        sch = self.schedule
        on, off = sch.touchdown_s, np.concatenate([[sch.front_toe_off_s], sch.toe_off_s])
        for k, end in enumerate(off):
            begin = 0.0 if k == 0 else on[k - 1]
            inside = (t >= begin) & (t <= end)
            out[inside] = self._contact(k, t[inside] - begin, begin, end)
            until = on[k] if k < len(on) else np.inf
            flying = (t > end) & (t < until)
            s = t[flying] - end
            out[flying, 0] = self._x_off(k, begin, end) + self.flight_speed[k] * s
            out[flying, 1] = self.height_off[k] + self.climb_off[k] * s - 0.5 * G * s**2
        return out

    def _x_off(self, k: int, begin: float, end: float) -> float:
        return float(self._contact(k, np.array([end - begin]), begin, end)[0, 0])

    def _contact(self, k: int, s: Array, begin: float, end: float) -> Array:
        span = end - begin
        u = s / span
        if k == 0:
            x0, v0 = float(self.rest[0]), 0.0
            heights = np.array([self.rest[1], 0.0, 0.0])
            goal = float(self.model.position(end))
        else:
            x0, v0 = float(self.model.position(begin)), float(self.flight_speed[k - 1])
            fall = self.climb_off[k - 1] - G * (begin - self._off(k - 1))
            heights = np.array([self.height_on[k - 1], fall, -G])
            on = self.schedule.touchdown_s
            until = on[k] if k < len(on) else end + (end - begin)
            goal = float(self.model.position(until)) - float(self.flight_speed[k]) * (until - end)
        v1 = float(self.flight_speed[k])
        # The dip is as deep as the distance of the whole step asks for.
        dip = (x0 + span * 0.5 * (v0 + v1) - goal) / (span * _DIP_TOTAL)
        x = x0 + span * (v0 * u + (v1 - v0) * _smooth_sum(u) - dip * _dip_sum(u))
        leave = np.array([self.height_off[k], self.climb_off[k], -G])
        return np.stack([x, _quintic(u, span, heights, leave)], axis=1)

    def _off(self, k: int) -> float:
        return self.schedule.front_toe_off_s if k == 0 else float(self.schedule.toe_off_s[k - 1])


def com_path_of(scenario: Scenario, schedule: Schedule, rest: Array) -> ComPath:
    """The path for a scenario whose centre of mass rests at `rest` (x, y in m)."""
    start, steps = scenario.start, scenario.steps
    model = SpeedModel(scenario.vmax_m_s, scenario.tau_s, start.model_delay_s, float(rest[0]))
    on = schedule.touchdown_s
    off = np.concatenate([[schedule.front_toe_off_s], schedule.toe_off_s])
    until = np.concatenate([on[1:], [off[-1] + steps.flight_s[-1]]])
    until = np.concatenate([[on[0]], until])
    flight_speed = model.speed(0.5 * (off + until)) + np.array([0.0, *steps.swing_surplus_m_s])
    height_on = np.array(steps.com_height_touchdown_m)
    height_off = np.array([start.com_height_toe_off_m, *steps.com_height_toe_off_m])
    land = np.concatenate([height_on, [height_on[-1]]])
    aloft = until - off
    climb = (land - height_off) / aloft + 0.5 * G * aloft
    return ComPath(model, schedule, np.asarray(rest, float), flight_speed, height_on, height_off, climb)
