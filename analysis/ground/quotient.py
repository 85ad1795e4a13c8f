"""The interval of a quotient of two uncertain numbers, where first order is not enough."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import RECTANGULAR, Carried, Number, coverage_factor, spread
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

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
    u, half = spread(above / below)
    top, bottom, boxed = _moves(above, below)
    low, high = (_end(a, b, top, bottom, boxed, a / b + way * half, way) for way in (-1.0, 1.0))
    return Estimate(a / b, u, low, high)


def _end(
    a: float, b: float, top: Floats, bottom: Floats, boxed: npt.NDArray[np.bool_], r: float, way: float
) -> float:
    """The quotient beyond which ``a - r b`` is too far from 0. ``top``, ``bottom``: moves of the two by one
    standard uncertainty of each error, (n,); ``boxed``: which of these are rectangular; ``way``: up or down.
    """
    for _ in range(_ROUNDS):
        parts = (top - r * bottom) ** 2
        square = coverage_factor(parts[boxed] / max(float(parts.sum()), 1e-300)) ** 2
        bend = b * b - square * float(bottom @ bottom)
        middle = a * b - square * float(top @ bottom)
        level = a * a - square * float(top @ top)
        r = (middle + way * float(np.sqrt(max(0.0, middle * middle - bend * level)))) / bend
    return r


def _moves(above: Carried | float, below: Carried) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    of_above = {} if isinstance(above, float) else above.derivatives
    of_below = below.derivatives
    sources = list({**of_above, **of_below})
    top, bottom = (
        np.array([of.get(source, 0.0) * source.std_dev for source in sources], dtype=np.float64)
        for of in (of_above, of_below)
    )
    return top, bottom, np.array([source.tag == RECTANGULAR for source in sources], dtype=np.bool_)


def _value(number: Carried | float) -> float:
    return number if isinstance(number, float) else float(number.nominal_value)
