"""An own pattern: bands from runs that the coach named as good."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.special import stdtrit

from analysis.values.bands import Band, BandOrigin, BandTable
from analysis.values.errors import BandError
from analysis.values.estimate import Estimate
from analysis.values.posture import Moment
from analysis.values.questions import Question
from analysis.values.reading import Reading
from analysis.values.words import tr

LEAST_RUNS = 5
"""So many good runs make a pattern."""


def own_pattern(
    readings: Sequence[Reading], table_id: str, name: str, athlete_id: str | None, version: int = 1
) -> BandTable:
    """Bands of launch, swap and strike in which 95 of 100 further such runs would lie: mean +- t s sqrt(1 +
    1/n), for every measure that at least five of the runs have (a prediction interval; own). ``athlete_id``:
    None for a squad's. Raises BandError with fewer than five runs, or where no measure was read in five.
    """
    check_enough(len(readings))
    found: dict[tuple[str, Moment, int], list[float]] = {}
    for reading in readings:
        for place, value in _numbers(reading).items():
            found.setdefault(place, []).append(value)
    source = tr("own pattern, {runs} runs").format(runs=len(readings))
    bands = tuple(
        _band(place, values, source) for place, values in found.items() if len(values) >= LEAST_RUNS
    )
    if not bands:
        words = tr("None of these runs' measures was read in {least} of them. Place the points of more runs.")
        raise BandError(words.format(least=LEAST_RUNS))
    return BandTable(
        table_id, name, version, BandOrigin.OWN_PATTERN, bands, athlete_id=athlete_id, runs=len(readings)
    )


def check_enough(runs: int) -> None:
    """Raise BandError where so many good runs are too few for a pattern."""
    if runs < LEAST_RUNS:
        words = tr("An own pattern needs at least {least} good runs; {count} are named. Name more of them.")
        raise BandError(words.format(least=LEAST_RUNS, count=runs))


def _numbers(reading: Reading) -> dict[tuple[str, Moment, int], float]:
    """The numbers of a run by measure, moment and step; not those that both legs have."""
    found: dict[tuple[str, Moment, int], float] = {}
    twice = set()
    for answer in reading.questions:
        for one in answer.measures if answer.question is not Question.RHYTHM else ():
            place = (one.measure, one.moment, one.step)
            if place in found:
                twice.add(place)
            if isinstance(one.result, Estimate):
                found[place] = one.result.value
    return {place: value for place, value in found.items() if place not in twice}


def _band(place: tuple[str, Moment, int], values: Sequence[float], source: str) -> Band:
    measure, moment, step = place
    count = len(values)
    reach = float(stdtrit(count - 1, 0.975) * np.std(values, ddof=1) * math.sqrt(1 + 1 / count))
    middle = float(np.mean(values))
    return Band(measure, moment, step, step, middle - reach, middle + reach, source)
