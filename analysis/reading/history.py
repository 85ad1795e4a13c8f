"""One measure over an athlete's days, and several runs in one table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.reading.change import LEAST_FREEDOM, pooled_spread, smallest_detectable_change
from analysis.reading.compare import values_of
from analysis.reading.days import days_of
from analysis.reading.numbers import numbers_of
from analysis.values.comparison import DayMean, History, MeasureKey
from analysis.values.estimate import NoValue, Result
from analysis.values.reading import Reading
from analysis.values.words import tr


def history(readings: Sequence[Reading], key: MeasureKey) -> History:
    """The day means of a measure in order of the days, with the smallest detectable change (Weir 2005) from
    the typical error pooled over them. Runs without a day or a number are left out.
    """
    found = {one.day: values_of(key, [numbers_of(r) for r in one.runs]) for one in days_of(readings)}
    days = tuple(DayMean(day, float(np.mean(v)), tuple(v)) for day, v in found.items() if v)
    spread = pooled_spread([day.values for day in days])
    if spread is None or spread.freedom < LEAST_FREEDOM:
        return History(key, days, None, None)
    least = smallest_detectable_change(spread.typical_error)
    return History(key, days, spread.typical_error, least)


def side_by_side(readings: Sequence[Reading]) -> dict[MeasureKey, tuple[Result, ...]]:
    """Every measure that any of the runs has, one entry a run."""
    numbers = [numbers_of(reading) for reading in readings]
    keys = dict.fromkeys(key for run in numbers for key in run)
    none = NoValue(tr("The run has no such step or place."))
    return {key: tuple(run.get(key, none) for run in numbers) for key in keys}
