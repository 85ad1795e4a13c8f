"""Numbers whose errors are carried along: linear propagation with correlations kept.

A carried number is a value plus a sum of independent error sources, each with its sensitivity (JCGM 100:2008,
clause 5; the library ``uncertainties`` does the arithmetic). Two numbers that rest on the same source share
its error, so that it cancels in a difference where it should. A source is either rectangular (a frame
interval) or normal (a click), and its kind decides how wide a 95 % interval must be.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias

import numpy as np
from uncertainties.core import AffineScalarFunc, LinearCombination, Variable

from analysis.values.estimate import Estimate, NoValue, Result

Carried: TypeAlias = AffineScalarFunc
"""A number with its error sources; add, subtract, multiply and divide as usual."""

Source: TypeAlias = Variable
"""One independent error with mean 0."""

RECTANGULAR = "rectangular"
NORMAL = "normal"

_KURTOSIS = (-1.2, -0.9, -0.6, -0.3, 0.0)
_FACTOR = (1.645, 1.79, 1.90, 1.94, 1.96)


def rectangular(half_width: float) -> Source:
    """An error anywhere within ``+-half_width`` alike: u = half width / sqrt(3) (JCGM 100:2008, 4.3.7)."""
    return Variable(0.0, half_width / math.sqrt(3.0), tag=RECTANGULAR)


def normal(u: float) -> Source:
    """A normally distributed error of standard uncertainty ``u``."""
    return Variable(0.0, u, tag=NORMAL)


def combine(value: float, parts: Mapping[Source, float]) -> Carried:
    """``value`` plus every source times its sensitivity."""
    return AffineScalarFunc(float(value), LinearCombination(dict(parts)))


def weighed(shares: Sequence[float], numbers: Sequence[Carried], value: float | None = None) -> Carried:
    """Shares of numbers added up at once: one step instead of one for each. ``value``: what it comes to where
    the sum is that of a change alone.
    """
    parts: dict[Source, float] = {}
    total = 0.0
    for share, number in zip(shares, numbers, strict=True):
        total += share * number.nominal_value
        for source, change in number.derivatives.items():
            parts[source] = parts.get(source, 0.0) + share * change
    return combine(total if value is None else value, parts)


def moved(number: Carried, value: float) -> Carried:
    """The same errors about another value."""
    return number + (value - number.nominal_value)


def coverage_factor(shares: Iterable[float]) -> float:
    """Half width of the 95 % interval in standard uncertainties.

    ``shares``: the part of the variance that each *rectangular* source holds; what is left of 1 is normal.
    The excess kurtosis of a sum of independent parts is the sum of each part's own times its squared share:
    -1.2 for a rectangular one, 0 for a normal one. The factor is interpolated over it through the
    distributions that are known (JCGM 101:2008): 1.645 for one rectangular source, 1.90 for two equal ones (a
    triangle), 1.94 for four, 1.96 for a normal sum; 1.79 at -0.9, from a simulation. Right to 0.05 for any
    mixture of rectangular and normal parts.
    """
    kurtosis = -1.2 * sum(share * share for share in shares)
    return float(np.interp(kurtosis, _KURTOSIS, _FACTOR))


def spread(number: Carried) -> tuple[float, float]:
    """Standard uncertainty of a number and half the width of its 95 % interval."""
    variance = 0.0
    rectangular_parts = []
    for source, change in number.derivatives.items():
        u = change * source.std_dev
        variance += u * u
        if source.tag == RECTANGULAR:
            rectangular_parts.append(u * u)
    if variance <= 0.0:
        return 0.0, 0.0
    u = math.sqrt(variance)
    return u, u * coverage_factor(part / variance for part in rectangular_parts)


def estimate(number: Carried) -> Estimate:
    """The number as value, standard uncertainty and 95 % interval."""
    u, half = spread(number)
    value = float(number.nominal_value)
    return Estimate(value, u, value - half, value + half)


Number: TypeAlias = Carried | NoValue
"""A carried number, or the sentence that says why there is none."""


def result(number: Number) -> Result:
    """What a reading shows: the estimate, or the reason as it is."""
    return number if isinstance(number, NoValue) else estimate(number)
