"""What simulated runs are like in body and ground: natural, or as the reading takes them to be."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Swing = Callable[[Floats], Floats]


class Nature:
    """Runs as they are drawn for the coverage table: in nothing quite as the reading assumes."""

    uneven_m_s = 0.04
    """How far the speed strays from its curve from step to step, m/s."""

    def swing(self, rng: np.random.Generator) -> Swing:
        """The hips' swing in m, by steps since the first touchdown: a skewed saw-tooth, rounded."""
        size, m, shift = rng.uniform(0.005, 0.018), rng.uniform(0.3, 0.7), rng.uniform(0.0, 1.0)

        def wave(phase: Floats) -> Floats:
            angle = 2 * np.pi * (phase - shift)
            parts = [math.sin(n * math.pi * m) / (n * n) * np.cos(n * angle) for n in range(1, 5)]
            return np.asarray(size * 2 / (math.pi**2 * m * (1 - m)) * np.sum(parts, axis=0))

        return wave

    def wobble(self, rng: np.random.Generator, t: Floats) -> Floats:
        """How far the hips stray besides at times ``t``, m: not at all."""
        return np.zeros_like(t)

    def lane(self, rng: np.random.Generator) -> float:
        """How far beside the marks' line the athlete runs, m."""
        return float(rng.uniform(-0.08, 0.08))

    def foot(self, rng: np.random.Generator) -> float:
        """How far a footfall strays sideways, m."""
        return float(rng.normal(0, 0.025))

    def shin_down(self, rng: np.random.Generator) -> tuple[float, float]:
        """How fast a shin turns before and after touchdown, deg/s."""
        return float(rng.uniform(-850, 100)), float(rng.uniform(-750, -150))

    def shin_off(self, rng: np.random.Generator) -> tuple[float, float]:
        """The same about toe-off."""
        return float(rng.uniform(-500, 100)), float(rng.uniform(-300, 300))


class Assumed(Nature):
    """Runs drawn as widely as the reading assumes, each error of the size and kind that it states.

    Where intervals hold too much of natural runs and the right share of these, nothing is counted twice: the
    reading allows for more than natural runs do.
    """

    uneven_m_s = 0.055
    """Of which 0.04 m/s are left of a mean over one step."""

    def swing(self, rng: np.random.Generator) -> Swing:
        """One sinusoid, 1.2 cm in each of its halves."""
        cosine, sine = rng.normal(0, 0.012, 2)
        return lambda phase: cosine * np.cos(2 * np.pi * phase) + sine * np.sin(2 * np.pi * phase)

    def wobble(self, rng: np.random.Generator, t: Floats) -> Floats:
        """5 mm, to one side for some 0.05 s."""
        step = t[1] - t[0]
        knots = np.arange(t[0], t[-1] + 0.05, 0.05)
        return np.interp(
            t + rng.uniform(0, 0.05) * step, knots, rng.normal(0, 0.005 * math.sqrt(1.5), len(knots))
        )

    def lane(self, rng: np.random.Generator) -> float:
        """Normal, 5 cm."""
        return float(rng.normal(0, 0.05))

    def foot(self, rng: np.random.Generator) -> float:
        """Rectangular, 5 cm either way."""
        return float(rng.uniform(-0.05, 0.05))

    def shin_down(self, rng: np.random.Generator) -> tuple[float, float]:
        """Normal about none, 500 deg/s, changing by 300."""
        rate = rng.normal(0, 500)
        return float(rate + rng.normal(0, 300)), float(rate)

    def shin_off(self, rng: np.random.Generator) -> tuple[float, float]:
        """Normal about none, 300 deg/s, changing by as much."""
        rate = rng.normal(0, 300)
        return float(rate + rng.normal(0, 300)), float(rate)


NATURAL, ASSUMED = Nature(), Assumed()
