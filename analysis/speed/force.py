"""Force, power and ratio of force that a speed curve means: results of a model, not measurements.

Samozino P et al. (2016) Scand J Med Sci Sports 26:648-658; air after Arsac LM, Locatelli E (2002) J Appl
Physiol 92:1781-1788. Shown only where a coach asks for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import result
from analysis.speed.curve import SpeedCurve
from analysis.speed.model import velocity
from analysis.values.estimate import NoValue
from analysis.values.reading import ForceReading
from analysis.values.run import Athlete
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

GRAVITY = 9.80665
"""Standard gravity, m/s2 (3rd CGPM, 1901)."""
DRAG_COEFFICIENT = 0.9
"""Of a runner, after van Ingen Schenau et al. (1991)."""
ENOUGH_M = 20.0
"""So many metres must have been filmed: a shorter film leaves greatest speed and time constant open."""
_FROM_S = 0.3
"""Ratio of force is read from 0.3 s on (Morin JB et al. (2019) J Biomech 94:82-87)."""


@dataclass(frozen=True)
class Air:
    """``celsius``, ``torr``, and ``wind_m_s`` from behind."""

    celsius: float = 20.0
    torr: float = 760.0
    wind_m_s: float = 0.0

    @property
    def density(self) -> float:
        """kg/m3."""
        return 1.293 * self.torr / 760.0 * 273.0 / (273.0 + self.celsius)


@dataclass(frozen=True)
class ForceVelocity:
    """Per kg of body mass: ``f0`` N/kg and ``v0`` m/s, intercepts of the straight line of force over
    speed, ``slope`` of it, ``pmax`` W/kg = f0 v0 / 4.

    ``rf_max``: ratio of forward to resultant force at 0.3 s;
    ``drf``: its slope over speed, per m/s, from 0.3 s on. The ratio is that of step averages (kind C of
    Bezodis N et al. 2021).
    """

    f0: float
    v0: float
    slope: float
    pmax: float
    rf_max: float
    drf: float


def drag_factor(mass_kg: float, stature_m: float, air: Air) -> float:
    """``0.5 rho A Cd`` in kg/m, ``A = 0.2025 h^0.725 m^0.425 0.266`` m2."""
    area = 0.2025 * stature_m**0.725 * mass_kg**0.425 * 0.266
    out: float = 0.5 * air.density * area * DRAG_COEFFICIENT
    return out


def _body(filmed_m: float, mass_kg: float | None, stature_m: float | None) -> tuple[float, float] | NoValue:
    """Mass and stature where there is a result, or why there is none."""
    if not mass_kg or not stature_m or mass_kg <= 0 or stature_m <= 0:
        return NoValue(tr("Force and power need the athlete's mass and stature."))
    if filmed_m < ENOUGH_M:
        words = tr("Force and power need at least {need:g} m of the run on film; this one shows {has:.0f} m.")
        return NoValue(words.format(need=ENOUGH_M, has=filmed_m))
    return mass_kg, stature_m


def force_velocity(
    vmax: float, tau: float, mass_kg: float, stature_m: float, air: Air | None = None
) -> ForceVelocity:
    """What a curve (m/s, s) means for an athlete, through the times 0.01, 0.02 ... 5 s; ``air``: still, 20
    degrees Celsius and 760 Torr where nothing else is said.
    """
    air = air or Air()
    t = np.linspace(0.01, 5.0, 500, dtype=np.float64)
    v = velocity(t, vmax, tau)
    against = v - air.wind_m_s
    force = (vmax - v) / tau + drag_factor(mass_kg, stature_m, air) / mass_kg * against * np.abs(against)
    slope, f0 = np.polyfit(v, force, 1)
    late = t >= _FROM_S - 1e-9
    ratio = force[late] / np.hypot(force[late], GRAVITY)
    drf = float(np.polyfit(v[late], ratio, 1)[0])
    v0 = float(-f0 / slope)
    return ForceVelocity(float(f0), v0, float(slope), float(f0) * v0 / 4, float(ratio[0]), drf)


def force_reading(curve: SpeedCurve | NoValue, filmed_m: float, athlete: Athlete | None) -> ForceReading:
    """The same as a reading, with the errors of the fitted curve carried along, not those of the model; in
    still air of 20 degrees Celsius and 760 Torr. ``filmed_m``: over how much of the run the hips were placed.
    """
    mass, stature = (None, None) if athlete is None else (athlete.mass_kg, athlete.stature_m)
    if isinstance(curve, NoValue):
        return ForceReading(*[curve] * 5)
    body = _body(filmed_m, mass, stature)
    if isinstance(body, NoValue):
        return ForceReading(*[body] * 5)

    def of(parameters: Floats) -> Floats:
        vmax, tau = math.exp(parameters[0]), math.exp(parameters[1])
        found = force_velocity(vmax, tau, *body)
        return np.array([found.f0, found.v0, found.pmax, found.rf_max, found.drf])

    gradients = np.zeros((5, len(curve.parameters)))
    for place in (0, 1):  # greatest speed and time constant; the others don't count
        step = np.zeros(len(curve.parameters))
        step[place] = 1e-4
        gradients[:, place] = (of(curve.parameters + step) - of(curve.parameters - step)) / 2e-4
    values = of(curve.parameters)
    numbers = [curve.carried(float(v), g) for v, g in zip(values, gradients, strict=True)]
    return ForceReading(*map(result, numbers))
