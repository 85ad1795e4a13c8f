"""Numbers whose errors are carried along: linear propagation with correlations kept.

A carried number is a value plus a sum of independent error sources, each with its sensitivity (JCGM 100:2008,
clause 5). Two numbers that rest on the same source share its error, so that it cancels in a difference
where it should. A source is either rectangular (a frame interval) or normal (a click), and its kind decides
how wide a 95 % interval must be.

A reading holds some thousand such numbers of up to thirty sources and is made anew with every edit, so the
sums are plain mappings of floats. The library ``uncertainties``, which carries the errors of any function,
takes longer for the same numbers; the tests hold these against it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analysis.values.estimate import Estimate, NoValue, Result

RECTANGULAR = "rectangular"
NORMAL = "normal"

_KURTOSIS = (-1.2, -0.9, -0.6, -0.3, 0.0)
_FACTOR = (1.645, 1.79, 1.90, 1.94, 1.96)
_PIECES = tuple(zip(_KURTOSIS, _KURTOSIS[1:], _FACTOR, _FACTOR[1:], strict=False))


class Carried:
    """A number with its errors: ``nominal_value``, its most likely value, and its change with each source.
    Add, subtract, multiply and divide as usual, with floats too: to first order in the errors. Never changed
    once made.
    """

    __slots__ = ("_derivatives", "nominal_value")
    __array_ufunc__ = None  # numpy's floats leave sums with it to it

    def __init__(self, nominal_value: float, derivatives: Mapping[Source, float]) -> None:
        self.nominal_value = nominal_value
        self._derivatives = derivatives

    @property
    def derivatives(self) -> Mapping[Source, float]:
        """How it changes with each source."""
        return self._derivatives

    @property
    def std_dev(self) -> float:
        """Standard uncertainty."""
        total = 0.0
        for source, change in self.derivatives.items():
            part = change * source.u
            total += part * part
        return math.sqrt(total)

    def __repr__(self) -> str:
        return f"Carried({self.nominal_value} +/- {self.std_dev})"

    def __add__(self, other: Carried | float) -> Carried:
        if isinstance(other, Carried):
            return _sum(1.0, self, 1.0, other, self.nominal_value + other.nominal_value)
        return moved(self, self.nominal_value + float(other))

    __radd__ = __add__

    def __sub__(self, other: Carried | float) -> Carried:
        if isinstance(other, Carried):
            return _sum(1.0, self, -1.0, other, self.nominal_value - other.nominal_value)
        return moved(self, self.nominal_value - float(other))

    def __rsub__(self, other: float) -> Carried:
        return Carried(float(other) - self.nominal_value, {s: -c for s, c in self.derivatives.items()})

    def __neg__(self) -> Carried:
        return self * -1.0

    def __mul__(self, other: Carried | float) -> Carried:
        if isinstance(other, Carried):
            value = self.nominal_value * other.nominal_value
            return _sum(other.nominal_value, self, self.nominal_value, other, value)
        by = float(other)
        return Carried(self.nominal_value * by, {s: c * by for s, c in self.derivatives.items()})

    __rmul__ = __mul__

    def __truediv__(self, other: Carried | float) -> Carried:
        if isinstance(other, Carried):
            below = other.nominal_value
            value = self.nominal_value / below
            return _sum(1.0 / below, self, -value / below, other, value)
        return self * (1.0 / float(other))

    def __rtruediv__(self, other: float) -> Carried:
        value = float(other) / self.nominal_value
        by = -value / self.nominal_value
        return Carried(value, {s: c * by for s, c in self.derivatives.items()})


class Source(Carried):
    """One independent error with mean 0: ``u``, its standard uncertainty; ``tag``, its distribution;
    ``lasting``: it is the same in every run that is read by the same marks.
    """

    __slots__ = ("lasting", "tag", "u")

    def __init__(self, u: float, tag: str, *, lasting: bool = False) -> None:
        self.u = u
        self.tag = tag
        self.lasting = lasting
        super().__init__(0.0, {})

    @property
    def std_dev(self) -> float:
        """Standard uncertainty."""
        return self.u

    @property
    def derivatives(self) -> Mapping[Source, float]:
        """Itself: made when asked for, so that it does not hold on to itself."""
        return {self: 1.0}


class WorkedOut(Carried):
    """A number whose spread was worked out together with many others' (``spreads``), and its ``lasting``
    part. What it changes with is written out by ``write`` only where somebody asks.
    """

    __slots__ = ("_write", "lasting", "spread")

    def __init__(
        self,
        nominal_value: float,
        spread: tuple[float, float],
        write: Callable[[], Mapping[Source, float]],
        lasting: float = 0.0,
    ) -> None:
        self.spread = spread
        self.lasting = lasting
        self._write: Callable[[], Mapping[Source, float]] | None = write
        super().__init__(nominal_value, {})

    @property
    def std_dev(self) -> float:
        """Standard uncertainty."""
        return self.spread[0]

    @property
    def derivatives(self) -> Mapping[Source, float]:
        """How it changes with each source."""
        if self._write is not None:
            self._derivatives, self._write = self._write(), None
        return self._derivatives


def _sum(share: float, one: Carried, other_share: float, other: Carried, value: float) -> Carried:
    parts = _shared_out(share, one)
    for source, change in other.derivatives.items():
        parts[source] = parts.get(source, 0.0) + other_share * change
    return Carried(value, parts)


def _shared_out(share: float, number: Carried) -> dict[Source, float]:
    """How a share of a number changes with each source; a copy, which may be added to."""
    if share == 1.0:
        return dict(number.derivatives)
    return {source: share * change for source, change in number.derivatives.items()}


def rectangular(half_width: float) -> Source:
    """An error anywhere within ``+-half_width`` alike: u = half width / sqrt(3) (JCGM 100:2008, 4.3.7)."""
    return Source(half_width / math.sqrt(3.0), RECTANGULAR)


def normal(u: float, *, lasting: bool = False) -> Source:
    """A normally distributed error of standard uncertainty ``u``."""
    return Source(u, NORMAL, lasting=lasting)


def combine(value: float, parts: Mapping[Source, float]) -> Carried:
    """``value`` plus every source times its sensitivity."""
    return Carried(float(value), parts)


def widened(number: Carried, *sources: Source) -> Carried:
    """The number with errors of its own beside those that it has."""
    return Carried(number.nominal_value, {**number.derivatives, **dict.fromkeys(sources, 1.0)})


def weighed(shares: Sequence[float], numbers: Sequence[Carried], value: float | None = None) -> Carried:
    """Shares of numbers added up at once: one step instead of one for each. ``value``: what it comes to where
    the sum is that of a change alone.
    """
    parts: dict[Source, float] = {}
    total = 0.0
    for share, number in zip(shares, numbers, strict=True):
        total += share * number.nominal_value
        if not parts:
            parts = _shared_out(share, number)
            continue
        for source, change in number.derivatives.items():
            parts[source] = parts.get(source, 0.0) + share * change
    return combine(total if value is None else value, parts)


def covariances(numbers: Sequence[Carried]) -> npt.NDArray[np.float64]:
    """Variances and covariances of numbers, (n, n)."""
    place = {
        source: n for n, source in enumerate(dict.fromkeys(s for one in numbers for s in one.derivatives))
    }
    moves = np.zeros((len(numbers), len(place)))
    for row, number in enumerate(numbers):
        for source, change in number.derivatives.items():
            moves[row, place[source]] = change * source.u
    out: npt.NDArray[np.float64] = moves @ moves.T
    return out


def moved(number: Carried, value: float) -> Carried:
    """The same errors about another value."""
    if isinstance(number, WorkedOut):
        return WorkedOut(value, number.spread, lambda: number.derivatives, number.lasting)
    return Carried(value, number.derivatives)


def coverage_factor(shares: Iterable[float]) -> float:
    """Half width of the 95 % interval in standard uncertainties.

    ``shares``: the part of the variance that each *rectangular* source holds; what is left of 1 is normal.
    The excess kurtosis of a sum of independent parts is the sum of each part's own times its squared share:
    -1.2 for a rectangular one, 0 for a normal one. The factor is interpolated over it through the
    distributions that are known (JCGM 101:2008): 1.645 for one rectangular source, 1.90 for two equal ones (a
    triangle), 1.94 for four, 1.96 for a normal sum; 1.79 at -0.9, from a simulation. Right to 0.05 for any
    mixture of rectangular and normal parts.
    """
    return factor_of(sum([share * share for share in shares]))


def factor_of(boxed: float) -> float:
    """``coverage_factor`` where the squares of the shares that rectangular sources hold add up to this."""
    kurtosis = -1.2 * boxed
    if kurtosis == 0.0:
        return _FACTOR[-1]
    for low, high, at_low, at_high in _PIECES:  # numpy's interpolation takes ten times as long for one number
        if kurtosis < high:
            return at_low + (at_high - at_low) * max(0.0, kurtosis - low) / (high - low)
    return _FACTOR[-1]


def spread(number: Carried) -> tuple[float, float]:
    """Standard uncertainty of a number and half the width of its 95 % interval."""
    return spread_and_lasting(number)[:2]


def spread_and_lasting(number: Carried) -> tuple[float, float, float]:
    """The same, and the standard uncertainty that comes from sources that last from run to run."""
    if isinstance(number, WorkedOut):
        return *number.spread, number.lasting
    variance = boxed = lasting = 0.0
    for source, change in number.derivatives.items():
        u = change * source.u
        square = u * u
        variance += square
        if source.tag is RECTANGULAR:
            boxed += square * square
        if source.lasting:
            lasting += square
    if variance <= 0.0:
        return 0.0, 0.0, 0.0
    u = math.sqrt(variance)
    return u, u * factor_of(boxed / variance / variance), math.sqrt(lasting)


def spreads(variance: npt.NDArray[np.float64], boxed: npt.NDArray[np.float64]) -> list[tuple[float, float]]:
    """``spread`` of many numbers at once. ``variance``: (n,); ``boxed``: (n,), the squares of the variances
    that their rectangular sources hold, added up.
    """
    u = np.sqrt(variance)
    kurtosis = -1.2 * boxed / np.maximum(variance, 1e-150) ** 2
    half = u * np.interp(kurtosis, _KURTOSIS, _FACTOR)
    return list(zip(u.tolist(), half.tolist(), strict=True))


def estimate(number: Carried) -> Estimate:
    """The number as value, standard uncertainty and 95 % interval."""
    u, half, lasting = spread_and_lasting(number)
    value = float(number.nominal_value)
    return Estimate(value, u, value - half, value + half, lasting)


Number: TypeAlias = Carried | NoValue
"""A carried number, or the sentence that says why there is none."""


def result(number: Number) -> Result:
    """What a reading shows: the estimate, or the reason as it is."""
    return number if isinstance(number, NoValue) else estimate(number)
