"""An athlete's runs, day by day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from analysis.values.reading import Reading


@dataclass(frozen=True)
class RunsOfDay:
    """The runs of a day, year-month-day; empty where nobody said which."""

    day: str
    runs: tuple[Reading, ...]

    @property
    def mixed(self) -> bool:
        """Whether they are not all one athlete's, so that a mean over them is of nobody."""
        return several_athletes(self.runs)


def several_athletes(readings: Iterable[Reading]) -> bool:
    """Whether runs are of more than one athlete, or it was said of some alone whose they are."""
    return len({reading.about.athlete_id for reading in readings}) > 1


def later_of(one: Reading, other: Reading) -> Reading | None:
    """Which of two runs is of the later day; None where both are of one, or a day is not known."""
    first, second = one.about.conditions.day, other.about.conditions.day
    if not first or not second or first == second:
        return None
    return one if first > second else other


def days_of(readings: Iterable[Reading]) -> tuple[RunsOfDay, ...]:
    """The runs by their days, of each day by their rep; those without a day are left out."""
    days: dict[str, list[Reading]] = {}
    for reading in readings:
        if reading.about.conditions.day:
            days.setdefault(reading.about.conditions.day, []).append(reading)
    return tuple(RunsOfDay(day, tuple(sorted(runs, key=_rep))) for day, runs in sorted(days.items()))


def _rep(reading: Reading) -> int:
    return reading.about.conditions.rep or 0
