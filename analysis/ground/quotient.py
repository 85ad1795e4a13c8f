"""The interval of a quotient of two uncertain numbers, where first order is not enough."""

from __future__ import annotations

import math

from analysis.ground.carried import (
    RECTANGULAR,
    Carried,
    Number,
    factor_of,
    spread,
    spread_and_lasting,
)
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.words import tr

_ROUNDS = 3


def quotient(above: Number | float, below: Number) -> Result:
    """``above / below`` with the interval that a quotient has; NoValue where ``below`` can't be told from 0.

    First order puts both ends alike far out; those of a quotient lie farther above it than below, the more so
    the less surely ``below`` is known (the time of a step at 30 frames a second). An end is the quotient r at
    which ``above - r below``, with the errors that the two share, is as far from 0 as its own 95 % interval
    reaches (Fieller EC (1954) J R Stat Soc B 16:175-185): what a simulation after JCGM 101:2008 tends to.
    ``u`` is that of first order.
    """
    if isinstance(above, NoValue):
        return above
    if isinstance(below, NoValue):
        return below
    a, b = _value(above), _value(below)
    if abs(b) <= spread(below)[1]:
        return NoValue(tr("The frames are too far apart to tell this. Film at more frames a second."))
    u, half, lasting = spread_and_lasting(above / below)
    moves = _Moves(above, below)
    low, high = (moves.end(a, b, a / b + way * half, way) for way in (-1.0, 1.0))
    return Estimate(a / b, u, low, high, lasting)


class _Moves:
    """Moves of two numbers by one standard uncertainty of each of their errors: what their sums of squares
    are, and which of them are rectangular.
    """

    def __init__(self, above: Carried | float, below: Carried) -> None:
        of_above = {} if isinstance(above, float) else above.derivatives
        of_below = below.derivatives
        self._of_above = self._of_both = self._of_below = 0.0
        self._boxed: list[tuple[float, float]] = []
        for source in {**of_above, **of_below}:
            top, bottom = of_above.get(source, 0.0) * source.u, of_below.get(source, 0.0) * source.u
            self._of_above += top * top
            self._of_both += top * bottom
            self._of_below += bottom * bottom
            if source.tag is RECTANGULAR:
                self._boxed.append((top, bottom))

    def end(self, a: float, b: float, r: float, way: float) -> float:
        """The quotient beyond which ``a - r b`` is too far from 0. ``r``: about that; ``way``: up or down."""
        for _ in range(_ROUNDS):
            whole = max(self._of_above - 2.0 * r * self._of_both + r * r * self._of_below, 1e-300)
            boxed = 0.0
            for top, bottom in self._boxed:
                move = top - r * bottom
                boxed += move**4
            square = factor_of(boxed / whole / whole) ** 2
            bend = b * b - square * self._of_below
            middle = a * b - square * self._of_both
            level = a * a - square * self._of_above
            r = (middle + way * math.sqrt(max(0.0, middle * middle - bend * level))) / bend
        return r


def _value(number: Carried | float) -> float:
    return number if isinstance(number, float) else float(number.nominal_value)
