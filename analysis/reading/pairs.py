"""Whether one step can be told from the next."""

from __future__ import annotations

from itertools import pairwise

from analysis.ground.carried import Number, result
from analysis.reading.telling import told_apart
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading


def read_pairs(steps: tuple[StepTimes, ...]) -> tuple[PairReading, ...]:
    """Contact and flight of every two successive steps: the difference, and whether it can be told, at 5 %
    over all pairs of the run together.
    """
    found: list[tuple[str, int, Number]] = []
    for measure in ("contact_s", "flight_s"):
        name = measure.removesuffix("_s")
        for one, two in pairwise(steps):
            found.append((measure, one.step, _difference(getattr(one, name), getattr(two, name))))
    told = told_apart([difference for _, _, difference in found])
    return tuple(
        PairReading(measure, step, step + 1, result(difference), apart)
        for (measure, step, difference), apart in zip(found, told, strict=True)
    )


def _difference(first: Number, second: Number) -> Number:
    if isinstance(first, NoValue):
        return first
    return second if isinstance(second, NoValue) else second - first
