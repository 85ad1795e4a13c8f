"""The curve of a sprint's acceleration, and the times that it means.

``v(t) = vmax (1 - exp(-t/tau))`` (Furusawa K, Hill AV, Parkinson JL (1927) Proc R Soc B 102:29-42; Samozino P
et al. (2016) Scand J Med Sci Sports 26:648-658), position its integral.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.special import lambertw

Floats = npt.NDArray[np.float64]


def velocity(t: Floats, vmax: float | Floats, tau: float | Floats) -> Floats:
    """Speed in m/s at ``t`` s after the start; 0 before it."""
    return vmax * -np.expm1(-np.maximum(t, 0.0) / tau)


def position(t: Floats, vmax: float, tau: float) -> Floats:
    """Distance in m at ``t`` s after the start; 0 before it."""
    s = np.maximum(t, 0.0)
    return vmax * (s + tau * np.expm1(-s / tau))


def time_at(x: Floats, vmax: float | Floats, tau: float | Floats) -> Floats:
    """Time in s at which the curve passes ``x`` m: ``tau (W(-exp(-(1 + k))) + 1 + k)``, ``k = x / (vmax
    tau)``, W the Lambert function's branch 0.
    """
    k = np.maximum(np.asarray(x, dtype=np.float64), 0.0) / (vmax * tau)
    out: Floats = tau * (np.real(lambertw(-np.exp(-(1.0 + k)))) + 1.0 + k)
    return out
