"""Whether one step can be told from the next."""

from __future__ import annotations

from itertools import pairwise

from analysis.ground.carried import Number, estimate, told_apart
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading


def read_pairs(steps: tuple[StepTimes, ...]) -> tuple[PairReading, ...]:
    """Contact and flight of every two successive steps: the difference, and whether it can be told at 95
    %.
    """
    pairs = []
    for measure in ("contact_s", "flight_s"):
        name = measure.removesuffix("_s")
        for one, two in pairwise(steps):
            first: Number = getattr(one, name)
            second: Number = getattr(two, name)
            pairs.append(_pair(measure, one.step, first, second))
    return tuple(pairs)


def _pair(measure: str, step: int, first: Number, second: Number) -> PairReading:
    if isinstance(first, NoValue):
        return PairReading(measure, step, step + 1, first, False)
    if isinstance(second, NoValue):
        return PairReading(measure, step, step + 1, second, False)
    return PairReading(measure, step, step + 1, estimate(second - first), told_apart(first, second))
