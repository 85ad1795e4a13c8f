"""Whether one step can be told from the next."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.ground.carried import Number, result
from analysis.reading.series import StepSeries
from analysis.reading.telling import told_apart
from analysis.values.answers import Rhythm
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading


def read_pairs(series: Sequence[StepSeries]) -> tuple[PairReading, ...]:
    """Every measure of every two successive steps: the difference, and whether it can be told, at 5 % over
    all pairs of the run together, and whether it goes against the usual way.
    """
    found = [(of, n, difference) for of in series for n, difference in enumerate(of.differences())]
    told = told_apart([difference for _, _, difference in found])
    return tuple(
        PairReading(
            of.measure,
            of.steps[n],
            of.steps[n + 1],
            result(difference),
            apart,
            apart and against(of, difference),
        )
        for (of, n, difference), apart in zip(found, told, strict=True)
    )


def against(series: StepSeries, difference: Number) -> bool:
    """Whether a difference goes against the way of the numbers over the first steps."""
    if isinstance(difference, NoValue):
        return False
    value = float(difference.nominal_value)
    return value < 0 if series.rises else value > 0


def with_breaks(pairs: Sequence[PairReading], rhythm: Rhythm) -> tuple[PairReading, ...]:
    """The pairs, of which those go against the usual way that are breaks of the run's rhythm."""
    broken = {(one.measure, one.first_step) for one in rhythm.breaks}
    return tuple(_against_the_way(pair, (pair.measure, pair.first_step) in broken) for pair in pairs)


def _against_the_way(pair: PairReading, is_so: bool) -> PairReading:
    return pair if pair.against is is_so else pair._replace(against=is_so)
