"""Where first order is not enough: stated intervals against propagation of distributions (JCGM 101:2008).

`python3 -m tests.bench.bench_propagation --write docs/validation.md`. Every error is drawn as it is stated,
the measure is worked out of each draw, and the ends of the middle 95 % stand against those that first order
gives and those that the reading shows, in % of half the interval.
"""

from __future__ import annotations

import argparse
import math
from pathlib import Path

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, combine, estimate, normal, rectangular
from analysis.ground.place import HipTrack, Places
from analysis.ground.quotient import quotient
from analysis.speed.curve import WOBBLE_M, SpeedCurve, fit_curve
from analysis.speed.fit import fit
from analysis.speed.model import position, time_at, velocity
from analysis.speed.swing import StepClock
from analysis.values.estimate import Estimate
from tests.bench.pages import write_sections
from tests.bench.simulated import interval

Floats = npt.NDArray[np.float64]
Ends = tuple[float, float]

CONTACT_S, STEP_S, LENGTH_M, LENGTH_U_M = 0.150, 0.230, 1.40, 0.025
RATES = (30, 60, 120, 240)
FLIGHT_M_S, RISE_M_S = 4.0, 0.35
RISE_U_M_S = (0.2, 0.4, 0.7)
"""How surely the speed upwards is known; the last gives the widest angle that a reading shows, 10 degrees."""
TAU_S, VMAX_M_S, HIP_U_M, REFITS = 1.15, 8.6, 0.012, 1000
EXPECTED = np.array([math.log(8.5), math.log(1.1), 0.4, 0.0, 0.0, 0.0])
EXPECTED_U = np.array([0.4, 0.5, 0.2, 0.5, 0.012, 0.012])
"""What a fit expects where hips leave it open (docs/measures.md): log vmax, log tau, start, rest, swing."""


def event(time_s: float, rate: float) -> Carried:
    """An event in a frame interval, in doubt by 5 ms either way."""
    return combine(time_s, {rectangular(0.5 / rate): 1.0, rectangular(0.005): 1.0})


def off(shown: Estimate, ends: Ends) -> str:
    """Both ends against the simulated ones, in % of half the interval."""
    half = (ends[1] - ends[0]) / 2
    return f"{100 * (shown.low - ends[0]) / half:+.0f}, {100 * (shown.high - ends[1]) / half:+.0f}"


def quotients(rate: float) -> list[tuple[str, str, str]]:
    """What is divided: name, first order's ends, shown ends."""
    down, lift, after = (event(t, rate) for t in (0.0, CONTACT_S, STEP_S))
    length = combine(LENGTH_M, {normal(LENGTH_U_M): 1.0})
    found = []
    for name, above, below in (
        ("step frequency", combine(1.0, {}), after - down),
        ("flight to contact", after - lift, lift - down),
        ("foot-to-foot speed", length, after - down),
    ):
        ends = interval(_over, above, below)
        shown = quotient(above, below)
        assert isinstance(shown, Estimate)
        found.append((f"{name}, {rate:g} a second", off(estimate(above / below), ends), off(shown, ends)))
    return found


def _over(above: Floats, below: Floats) -> Floats:
    return above / below


def direction(rise_u: float) -> tuple[str, str, str]:
    """The direction of a flight, whose rise is known to ``rise_u``."""
    x, y = combine(FLIGHT_M_S, {normal(0.15): 1.0}), combine(RISE_M_S, {normal(rise_u): 1.0})
    turn = (y * FLIGHT_M_S - x * RISE_M_S) / (FLIGHT_M_S**2 + RISE_M_S**2)
    angle = estimate(turn * math.degrees(1.0) + math.degrees(math.atan2(RISE_M_S, FLIGHT_M_S)))
    ends = interval(lambda along, up: np.degrees(np.arctan2(up, along)), x, y)
    return f"projection angle of u = {angle.u:.0f}°", off(angle, ends), off(angle, ends)


def few_hips(count: int, x_m: float) -> tuple[str, str, str]:
    """The whole run's speed from so few hips: places and expectations drawn, the curve fitted anew."""
    downs = 0.9 + STEP_S * np.arange(-(-count // 2) + 1)
    t = np.sort(np.concatenate([downs, downs + CONTACT_S]))[:count]
    true = position(t - 0.4, VMAX_M_S, TAU_S) - 0.3
    clock, sigma = StepClock([float(d) for d in downs]), np.sqrt(HIP_U_M**2 + WOBBLE_M**2)
    track = HipTrack(
        np.arange(count),
        t,
        Places(true, np.full(count, HIP_U_M), np.zeros((count, 0)), ()),
        np.zeros(count, dtype=np.bool_),
    )
    curve = fit_curve(track, clock, 0.4)
    assert isinstance(curve, SpeedCurve)
    rng, waves, speeds = np.random.default_rng(1), clock.swing(t), []
    for _ in range(REFITS):
        x, expected = true + rng.normal(0, sigma, count), EXPECTED + rng.normal(0, EXPECTED_U)

        def residuals(p: Floats, x: Floats = x, expected: Floats = expected) -> Floats:
            way = p[3] + position(t - p[2], math.exp(p[0]), math.exp(p[1])) + waves @ p[4:6]
            return np.concatenate([(way - x) / sigma, (p - expected) / EXPECTED_U])

        if (speed := _speed(fit(residuals, EXPECTED).parameters, x_m)) is not None:
            speeds.append(speed)
    low, high = np.percentile(speeds, [2.5, 97.5])
    value = _speed(curve.parameters, x_m)
    assert value is not None
    gradient = np.array(
        [
            ((_speed(curve.parameters + h, x_m) or value) - (_speed(curve.parameters - h, x_m) or value))
            / 2e-5
            for h in 1e-5 * np.eye(6)
        ]
    )
    half = 1.96 * math.sqrt(float(gradient @ curve.covariance @ gradient))
    shown = off(Estimate(value, half / 1.96, value - half, value + half), (float(low), float(high)))
    return f"speed at {x_m:g} m, whole run, from {count} hips to {true[-1]:.1f} m", shown, shown


def _speed(p: Floats, x_m: float) -> float | None:
    """vmax (1 - exp(-s / tau)) where the curve passes ``x_m``: by Lambert's function, not as it is read."""
    vmax, tau, distance = math.exp(p[0]), math.exp(p[1]), x_m - p[3]
    if distance <= 0:
        return None
    return float(velocity(time_at(np.array(distance), vmax, tau), vmax, tau))


def table(rows: list[tuple[str, str, str]]) -> str:
    """The rows as a table of the page."""
    lines = ["| | first order: lower, upper end | as shown |", "|---|---|---|"]
    return "\n".join([*lines, *(f"| {name} | {first} | {shown} |" for name, first, shown in rows)])


def main() -> None:
    """Draw, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    rows = [row for rate in RATES for row in quotients(rate)]
    rows += [direction(u) for u in RISE_U_M_S]
    rows += [few_hips(7, 2.0), few_hips(10, 5.0), few_hips(20, 5.0), few_hips(20, 10.0)]
    found = table(rows)
    print(found)
    if wishes.write:
        write_sections(wishes.write, {"propagation": found + "\n"})


if __name__ == "__main__":
    main()
