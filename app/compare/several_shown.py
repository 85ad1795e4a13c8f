"""What the chart of one measure over several runs shows, as values: runs in order, day by day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from analysis.reading.key_names import key_name
from analysis.reading.several import RunsTable
from analysis.report.words import Unit, spoken, unit_shown
from analysis.values.comparison import Claim, MeasureKey
from analysis.values.estimate import Estimate
from analysis.values.words import capital, tr

_BETWEEN_DAYS = 0.6
"""So much further than the next run of its day stands the first run of the next one."""


@dataclass(frozen=True)
class RunPoint:
    """The number of one run, in the unit that is shown; ``day``: which of the days, from 0."""

    words: str
    number: Estimate
    across: float
    day: int
    run_id: str

    @property
    def frame(self) -> None:
        """Another run is another film."""


@dataclass(frozen=True)
class DayShown:
    """A day of several runs or of one: where it stands across, and the mean of its runs if there is one."""

    name: str
    first: float
    last: float
    mean: Estimate | None


@dataclass(frozen=True)
class SeveralShown:
    """``held``: from where to where a last day's mean is no change, None where that is not known. ``told``:
    the runs of the first and the last day can be told apart. ``last``: which of the days is the last known.
    """

    title: str
    unit: Unit
    points: tuple[RunPoint, ...] = ()
    days: tuple[DayShown, ...] = ()
    held: tuple[float, float] | None = None
    told: bool = False
    last: int | None = None


def several_shown(table: RunsTable, key: MeasureKey, name_of: Callable[[str], str]) -> SeveralShown | None:
    """One measure of several runs; ``name_of`` a run by its id. None where no run has such a number."""
    row = next((one for one in table.rows if one.key == key), None)
    if row is None or not any(isinstance(number, Estimate) for number in row.numbers):
        return None
    unit, name = unit_shown(key.measure), key_name(key)
    points, days, numbers, across = [], [], iter(row.numbers), 0.0
    for place, (day, mean) in enumerate(zip(table.days, row.means, strict=True)):
        first = across
        for run in day.runs:
            number = next(numbers)
            if isinstance(number, Estimate):
                about = run.about
                words = spoken(f"{name_of(about.run_id)} {day.day}".strip() + f", {name}", number, unit)
                points.append(RunPoint(words, number.scaled(unit.factor), across, place, about.run_id))
            across += 1.0
        shown = mean.scaled(unit.factor) if isinstance(mean, Estimate) else None
        days.append(DayShown(day.day or tr("no day"), first, across - 1.0, shown))
        across += _BETWEEN_DAYS
    compared = row.compared
    held = None
    if compared is not None and compared.least is not None and isinstance(compared.before, Estimate):
        middle, least = compared.before.value * unit.factor, compared.least * unit.factor
        held = middle - least, middle + least
    known = [n for n, day in enumerate(table.days) if day.day]
    return SeveralShown(
        capital(name),
        unit,
        tuple(points),
        tuple(days),
        held,
        compared is not None and compared.claim is Claim.DIFFERS,
        known[-1] if compared is not None and known else None,
    )
