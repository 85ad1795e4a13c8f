"""How one foot lands, stands, rolls and leaves: drawn at random over all that a sprinter's foot may do.

Side view in m, x along the run from where the tip of the shoe stands, y up. It shares nothing with the
figures of the judging films.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

SHOE_M = 0.27
TOE_M = 0.08


@dataclass(frozen=True)
class Pose:
    """Places, (2,): ``tip``, ``ball`` and ``heel`` of the sole, ``ankle`` and ``knee``."""

    tip: Floats
    ball: Floats
    heel: Floats
    ankle: Floats
    knee: Floats

    @property
    def points(self) -> Floats:
        """All of them, (5, 2)."""
        return np.stack([self.tip, self.ball, self.heel, self.ankle, self.knee])


class FootMotion:
    """Touchdown is at 0 s, toe-off at ``off_s``."""

    def __init__(self, draw: np.random.Generator, size: float, soft: bool = False) -> None:
        """``size``: of the body beside one of 1.8 m. ``soft``: it lands nearly at rest."""
        self._size, early = size, float(draw.uniform())
        self.off_s = float(np.interp(early, [0, 1], [0.085, 0.2]) + draw.normal(0, 0.008))
        self._lands = float(draw.choice([draw.uniform(-0.35, -0.02), draw.uniform(0, 0.45)], p=[0.35, 0.65]))
        self._settles = float(draw.uniform(0.08, 0.4))
        self._flat = float(draw.uniform(0, 0.12)) * min(1.0, max(0.0, self._lands / 0.12))
        self._leaves = float(draw.uniform(0.6, 1.45))
        self._rises = max(float(draw.uniform(0.15, 0.6)), self._settles if self._lands < 0 else 0.0)
        self._power = float(draw.uniform(1.1, 2.4))
        self._bends = float(draw.choice([0.0, draw.uniform(0, 0.8), 1.5], p=[0.5, 0.35, 0.15]))
        self._springs = float(draw.uniform(0.0, 0.6))  # of the heel's pitch that toes always share
        self._slips = float(draw.choice([0.0, 0.0, draw.uniform(-0.004, 0.008)]))
        self._sinks = float(draw.choice([0.0, draw.uniform(0, 0.006)]))
        none, some, quick = 0.0, float(draw.uniform(0, 0.8)), float(draw.uniform(0.8, 2.2))
        leap = float(draw.uniform(2, 9))
        self._out = np.array(
            [
                draw.choice([none, draw.uniform(0, 1.0), draw.uniform(1.0, 2.6)], p=[0.5, 0.3, 0.2]),
                draw.choice([none, some, quick, leap], p=[0.2, 0.4, 0.25, 0.15]),
            ]
        )
        self._out_more = draw.uniform([50, 0], [280, 120])
        self._in = draw.uniform([-0.5, -2.6], [4.0, -0.3])
        self._in_more = draw.uniform([20, 0], [230, 70])
        if soft:
            self._in, self._in_more = (
                draw.uniform([-0.4, -0.4], [0.6, 0.0]),
                draw.uniform([20, 30], [200, 160]),
            )
        self._turns_on, self._turns_in = float(draw.uniform(-2, 8)), float(draw.uniform(-6, 6))
        self._turns_over_s = 0.04  # until a foot that has left turns as it goes on
        if draw.random() < 0.4:  # it is swung forwards from the moment it leaves, and turns back at once
            self._turns_on, self._turns_over_s = float(draw.uniform(-14, 8)), float(draw.uniform(0.001, 0.02))
        self._shin = draw.uniform([0.0, 0.5], [0.4, 1.1])

    def pose(self, t: float) -> Pose:
        """At a time in s."""
        pitch, toe, tip = self._stands(min(max(t, 0.0), self.off_s))
        if t > self.off_s:
            after = t - self.off_s
            near = min(after, 0.05)
            tip = tip + self._out * after + self._out_more * near * (after - near / 2)
            turned = self._turned(near)
            pitch, toe = pitch + turned, toe + turned
        elif t < 0:
            near = min(-t, 0.06)
            tip = tip - self._in * -t + np.array([-1.0, 1.0]) * self._in_more * near * (-t - near / 2)
            pitch, toe = pitch - self._turns_in * near, toe - self._turns_in * near
        return self._posed(tip, pitch, toe, float(np.clip(t / self.off_s, -0.6, 1.6)))

    @property
    def _turn_s(self) -> float:
        """How fast the foot turns as it leaves, rad/s."""
        return self._leaves * self._power / ((1 - self._rises) * self.off_s)

    def _turned(self, after: float) -> float:
        """How far it has turned since it left, rad."""
        ramp = min(after, self._turns_over_s)
        return self._turns_on * after + (self._turn_s - self._turns_on) * (
            ramp - ramp**2 / (2 * self._turns_over_s)
        )

    def _stands(self, t: float) -> tuple[float, float, Floats]:
        s = t / self.off_s
        down = (self._lands - self._flat) * (1 - min(1.0, s / self._settles)) ** 2
        up = self._leaves * max(0.0, (s - self._rises) / (1 - self._rises)) ** self._power
        level = -self._sinks * np.sin(np.pi * min(1.0, s * 1.1)) * (s < 0.91)
        if down < 0:  # on the heel, about which the tip comes down
            length = SHOE_M * self._size
            return float(down), float(down), np.array([-length * (1 - np.cos(down)), -length * np.sin(down)])
        pitch = float(down + self._flat * min(1.0, s / 0.2) + up)
        slip = self._slips * max(0.0, (s - 0.6) / 0.4) ** 2
        toe = max(0.0, pitch - self._bends, self._springs * pitch if self._bends else pitch)
        return pitch, toe, np.array([slip, level])

    def _posed(self, tip: Floats, pitch: float, toe: float, s: float) -> Pose:
        k = self._size
        ball = tip + TOE_M * k * np.array([-np.cos(toe), np.sin(toe)])
        heel = ball + (SHOE_M - TOE_M) * k * np.array([-np.cos(pitch), np.sin(pitch)])
        ankle = heel + k * (0.05 * np.array([np.cos(pitch), -np.sin(pitch)]) + 0.09 * _up(pitch))
        lean = self._shin[0] * -1 + (self._shin[0] + self._shin[1]) * s
        knee = ankle + 0.45 * k * np.array([np.sin(lean), np.cos(lean)])
        return Pose(tip, ball, heel, ankle, knee)


def _up(pitch: float) -> Floats:
    return np.array([np.sin(pitch), np.cos(pitch)])


class PassingFoot:
    """The other foot, which swings by while this one stands."""

    def __init__(self, draw: np.random.Generator, size: float, off_s: float) -> None:
        self._size, self._middle = size, float(draw.uniform(0.25, 0.75)) * off_s
        self._speed, self._high = float(draw.uniform(9, 16)), float(draw.uniform(0.1, 0.5))
        self._dips, self._pitch = float(draw.uniform(-4, 12)), float(draw.uniform(-0.2, 1.6))

    def pose(self, t: float) -> Pose:
        """At a time in s."""
        k, after = self._size, t - self._middle
        tip = np.array([self._speed * after, self._high + self._dips * after**2])
        along = np.array([-np.cos(self._pitch), np.sin(self._pitch)])
        ball, heel = tip + TOE_M * k * along, tip + SHOE_M * k * along
        ankle = heel + 0.09 * k * _up(self._pitch)
        return Pose(tip, ball, heel, ankle, ankle + 0.45 * k * np.array([0.75, 0.65]))
