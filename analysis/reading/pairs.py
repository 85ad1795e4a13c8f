"""Whether one step can be told from the next."""

from __future__ import annotations

from itertools import pairwise

from analysis.ground.carried import Number, result
from analysis.reading.telling import told_apart
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading

RISES = {"contact_s": False, "flight_s": True}
"""Over the first steps contact time falls and flight time rises (docs/measures.md, Rhythm)."""


def read_pairs(steps: tuple[StepTimes, ...]) -> tuple[PairReading, ...]:
    """Contact and flight of every two successive steps: the difference, and whether it can be told, at 5 %
    over all pairs of the run together, and whether it goes against the usual way.
    """
    found: list[tuple[str, int, Number]] = []
    for measure in ("contact_s", "flight_s"):
        name = measure.removesuffix("_s")
        for one, two in pairwise(steps):
            found.append((measure, one.step, _difference(getattr(one, name), getattr(two, name))))
    told = told_apart([difference for _, _, difference in found])
    return tuple(
        PairReading(
            measure, step, step + 1, result(difference), apart, apart and _against(measure, difference)
        )
        for (measure, step, difference), apart in zip(found, told, strict=True)
    )


def _against(measure: str, difference: Number) -> bool:
    if isinstance(difference, NoValue):
        return False
    return (float(difference.nominal_value) > 0) is not RISES[measure]


def _difference(first: Number, second: Number) -> Number:
    if isinstance(first, NoValue):
        return first
    return second if isinstance(second, NoValue) else second - first
