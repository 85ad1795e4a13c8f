"""All numbers of all days, with what changed since the day before, and the times from gates, as tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from analysis.reading.cells import listed, number_columns, number_parts, under_unit
from analysis.reading.compare import mean_of, values_of
from analysis.reading.days import RunsOfDay, days_of
from analysis.reading.gates import gate_days
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.report.season import Season, Since, alike_groups
from analysis.report.table import Table
from analysis.values.comparison import Compared, MeasureKey
from analysis.values.estimate import Result
from analysis.values.measures import COLUMN_UNITS, column_unit

_CHANGED = "difference_from_before"
GATES = (
    *(
        "athlete_id",
        "athlete",
        "day",
        "place_m",
        "times_s",
        "gate_s",
        "gate_s_u",
        "gate_s_low",
        "gate_s_high",
    ),
    *("film_runs", "film_s", "film_s_u", "film_s_low", "film_s_high"),
    *("difference_s", "difference_s_u", "difference_s_low", "difference_s_high"),
    *("film_off_s", "film_off_s_u", "film_off_s_low", "film_off_s_high"),
    *("difference_off_s", "difference_off_s_u", "difference_off_s_low", "difference_off_s_high", "reason"),
)


def history_table(seasons: Iterable[Season]) -> Table:
    """A row for each athlete, day and measure: the mean of the day's runs, and against the test before. Runs
    of one day under conditions that are known to differ, such as a load, never stand in one mean.
    """
    found = [one for season in seasons for one in _history(season)]
    used = {column_unit(one.key.measure) for one in found}
    units = [unit for unit in COLUMN_UNITS if unit in used]
    return Table("history", _header(units), tuple(tuple(one.row(units)) for one in found))


def _header(units: Sequence[str]) -> tuple[str, ...]:
    """Numbers of each unit have columns of their own."""
    return (
        *("athlete_id", "athlete", "day", "stance", "load_kg", "surface", "shoe"),
        *("measure", "moment", "step", "place_m", "other_leg", "runs"),
        *(column for unit in units for column in (*number_columns(f"mean_{unit}"), f"values_{unit}")),
        "since_day",
        *(column for unit in units for column in number_columns(f"{_CHANGED}_{unit}")),
        *("claim", "change"),
        *(f"least_change_{unit}" for unit in units),
        *("rests_on", "reason"),
    )


@dataclass(frozen=True)
class _Row:
    """A measure of a day. ``first``: what stands before its numbers; ``before``: the test before."""

    key: MeasureKey
    first: Sequence[object]
    mean: Sequence[object]
    before: str
    compared: Compared | None

    def row(self, units: Sequence[str]) -> list[object]:
        """All its cells."""
        one, measure = self.compared, self.key.measure
        difference = number_parts(one.difference) if one is not None else [None] * 4
        change = None if one is None else "" if one.change is None else one.change.value
        return [
            *self.first,
            *under_unit(measure, units, self.mean),
            None if one is None else self.before,
            *under_unit(measure, units, difference),
            *(None if one is None else one.claim.value, change),
            *under_unit(measure, units, [None if one is None else one.least]),
            *((None, None) if one is None else (one.rests_on, _reason(one.difference))),
        ]


def gate_table(seasons: Iterable[Season]) -> Table:
    """A row for each athlete, day and distance that gates were read at, against that day's films."""
    return Table("gates", GATES, tuple(tuple(row) for season in seasons for row in _gates(season)))


def _history(season: Season) -> Iterator[_Row]:
    for day in days_of(season.readings):
        for group in alike_groups(day):
            since = season.since(group.runs[-1])
            yield from _day(season, group, since)


def _day(season: Season, day: RunsOfDay, since: Since | None) -> Iterator[_Row]:
    numbers, set_ups = [numbers_of(run) for run in day.runs], set_ups_of(day.runs)
    rows = {} if since is None else {row.key: row for row in since.comparison.rows}
    before = "" if since is None else since.before.day
    for key in dict.fromkeys(key for run in numbers for key in run):
        values = values_of(key, numbers)
        if not values:
            continue
        cells = [season.athlete_id, season.code, day.day, *_under(day), *_key(key), len(values)]
        yield _Row(key, cells, _mean(key, numbers, set_ups, values), before, rows.get(key))


def _under(day: RunsOfDay) -> list[object]:
    noted = day.runs[-1].about.conditions
    stance = "" if noted.stance is None else noted.stance.value
    return [stance, noted.load_kg, noted.surface, noted.shoe]


def _key(key: MeasureKey) -> list[object]:
    moment = "" if key.moment is None else key.moment.value
    return [key.measure, moment, key.step, key.x_m, int(key.other_leg)]


def _mean(
    key: MeasureKey,
    numbers: Sequence[Mapping[MeasureKey, Result]],
    set_ups: Sequence[int],
    values: Sequence[float],
) -> list[object]:
    return [*number_parts(mean_of(key, numbers, set_ups)), listed(values)]


def _gates(season: Season) -> Iterator[list[object]]:
    for one in gate_days(season.gates, season.readings):
        yield [
            *(season.athlete_id, season.code, one.day, one.distance_m, listed(one.times_s)),
            *number_parts(one.gate_s),
            one.runs,
            *(part for n in (one.film_s, one.difference_s) for part in number_parts(n)),
            *(part for n in (one.film_off_s, one.difference_off_s) for part in number_parts(n)),
            _reason(one.film_s),
        ]


def _reason(number: Result) -> str:
    return getattr(number, "reason", "")
