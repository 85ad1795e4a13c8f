"""Times from gates against the splits of films, and over the days."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from analysis.reading.change import LEAST_FREEDOM, pooled_spread, smallest_detectable_change
from analysis.reading.compare import mean_of
from analysis.reading.numbers import SPLITS, numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.values.comparison import DayMean, History, MeasureKey
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.gate import RESOLUTION_S, GateDay, GateTime
from analysis.values.reading import Reading
from analysis.values.words import tr

GATE_TIME = "gate_time_s"
_COVERAGE = {1: 1.65, 2: 1.90}
"""Of a mean of one or two rectangular terms, 95 % (JCGM 101:2008); 1.96 from three on."""


def gate_days(gates: Iterable[GateTime], readings: Sequence[Reading]) -> tuple[GateDay, ...]:
    """The gate times by athlete, day and distance, each against the films of that athlete and day.

    A date says which day, not which run: where there are several of either, their means stand against each
    other (own). The clocks of gates and film start at different moments, so a difference is to be expected.
    """
    held: dict[tuple[str, str, float], list[float]] = {}
    for gate in gates:
        held.setdefault((gate.athlete_id, gate.date, gate.distance_m), []).append(gate.time_s)
    return tuple(_day(key, times, readings) for key, times in sorted(held.items()))


def gate_mean(times_s: Sequence[float]) -> Estimate:
    """The mean of gate times, each with a rectangular error of half the resolution (JCGM 100:2008, 4.3.7)."""
    count = len(times_s)
    u = RESOLUTION_S / math.sqrt(12 * count)
    value, half = float(np.mean(times_s)), _COVERAGE.get(count, 1.96) * u
    return Estimate(value, u, value - half, value + half)


def gate_history(gates: Iterable[GateTime], athlete_id: str, distance_m: float) -> History:
    """One athlete's gate times over a distance, day by day, as ``history`` has a measure of films."""
    by_day: dict[str, list[float]] = {}
    for gate in gates:
        if (gate.athlete_id, gate.distance_m) == (athlete_id, distance_m):
            by_day.setdefault(gate.date, []).append(gate.time_s)
    days = tuple(DayMean(day, float(np.mean(v)), tuple(v)) for day, v in sorted(by_day.items()))
    key = MeasureKey(GATE_TIME, x_m=distance_m)
    spread = pooled_spread([day.values for day in days])
    if spread is None or spread.freedom < LEAST_FREEDOM:
        return History(key, days, None, None)
    return History(key, days, spread.typical_error, smallest_detectable_change(spread.typical_error))


def _day(key: tuple[str, str, float], times: Sequence[float], readings: Sequence[Reading]) -> GateDay:
    athlete_id, day, distance = key
    mine = [one for one in readings if (one.about.athlete_id, one.about.conditions.day) == (athlete_id, day)]
    numbers = [numbers_of(one) for one in mine]
    clocks = [MeasureKey(name, x_m=distance) for name in SPLITS]
    split = next((key for key in clocks if any(key in one for one in numbers)), clocks[0])
    off = MeasureKey("split_from_front_toe_off_s", x_m=distance)
    runs = [one for one in numbers if isinstance(one.get(split, one.get(off)), Estimate)]
    gate = gate_mean(times)
    film, film_off = (_film(one, numbers, set_ups_of(mine), distance) for one in (split, off))
    return GateDay(
        athlete_id,
        day,
        distance,
        tuple(times),
        gate,
        len(runs),
        film,
        film_off,
        _less(gate, film),
        _less(gate, film_off),
    )


def _film(
    key: MeasureKey, numbers: Sequence[dict[MeasureKey, Result]], set_ups: Sequence[int], distance: float
) -> Result:
    if not numbers:
        return NoValue(
            tr("No film of that day can be read: there is none in the project, or it is not where it lay.")
        )
    if not any(key in run for run in numbers):
        words = tr("No film of that day is read at {x:g} m: add the place to the run's report.")
        return NoValue(words.format(x=distance))
    there = [(run, set_up) for run, set_up in zip(numbers, set_ups, strict=True) if key in run]
    return mean_of(key, [run for run, _ in there], [set_up for _, set_up in there])


def _less(gate: Estimate, film: Result) -> Result:
    if isinstance(film, NoValue):
        return film
    value, half = gate.value - film.value, math.hypot(gate.half_width, film.half_width)
    return Estimate(value, math.hypot(gate.u, film.u), value - half, value + half)
