"""A resisted or assisted run against what the athlete ran without a load on the same day."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from analysis.reading.compare import mean_of
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.values.comparison import MeasureKey
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.reading import Reading
from analysis.values.run import Athlete, Run
from analysis.values.words import tr

WAYS = ("local_m_s", "model_m_s")
"""Both speeds are read in one way: the first of these that both have."""


@dataclass(frozen=True)
class Load:
    """``kg``: pulled, or negative where the athlete was helped; ``percent``: of body mass, where known."""

    kg: float
    percent: float | None


def load_of(run: Run, athlete: Athlete | None) -> Load | None:
    """What a run's conditions say of the load; None where nobody said."""
    kg = run.conditions.load_kg
    if kg is None:
        return None
    mass = None if athlete is None else athlete.mass_kg
    return Load(kg, None if not mass else 100.0 * kg / mass)


def unloaded_runs(runs: Iterable[Run], loaded: Run) -> list[Run]:
    """The athlete's sprints of the same day without a load: neither drills nor second taggings."""
    day, athlete_id = loaded.conditions.day, loaded.athlete_id
    return [
        run
        for run in runs
        if not run.of_drill
        and run.retags is None
        and day
        and run.conditions.day == day
        and athlete_id is not None
        and run.athlete_id == athlete_id
        and not run.conditions.load_kg
    ]


def speed_losses(loaded: Reading, unloaded: Sequence[Reading]) -> dict[MeasureKey, Result]:
    """Speed lost at each mark, % of the mean speed there without a load; negative where the athlete was
    faster. Errors of the two are taken as independent.
    """
    numbers, free = numbers_of(loaded), [numbers_of(reading) for reading in unloaded]
    set_ups = set_ups_of(unloaded)
    return {
        MeasureKey("speed_loss_percent", x_m=speed.x_m): _loss(speed.x_m, numbers, free, set_ups)
        for speed in loaded.speeds
    }


def _loss(
    x_m: float,
    loaded: dict[MeasureKey, Result],
    free: Sequence[dict[MeasureKey, Result]],
    set_ups: Sequence[int],
) -> Result:
    if not free:
        return NoValue(
            tr("No run without a load is noted for this athlete on this day. Note day and athlete of both.")
        )
    reason = ""
    for way in WAYS:
        key = MeasureKey(way, x_m=x_m)
        slow, fast = loaded.get(key), mean_of(key, free, set_ups)
        if isinstance(slow, Estimate) and isinstance(fast, Estimate) and fast.value > 0:
            return _lost(slow, fast)
        lacking = next((n for n in (slow, fast) if isinstance(n, NoValue)), None)
        reason = reason or (lacking.reason if lacking is not None else "")
    return NoValue(reason or tr("The speed at this mark is not read in both runs."))


def _lost(slow: Estimate, fast: Estimate) -> Estimate:
    share = slow.value / fast.value

    def spread(of_slow: float, of_fast: float) -> float:
        return 100.0 * math.hypot(of_slow, share * of_fast) / fast.value

    value, half = 100.0 * (1.0 - share), spread(slow.half_width, fast.half_width)
    return Estimate(value, spread(slow.u, fast.u), value - half, value + half)
