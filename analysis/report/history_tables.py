"""All numbers of all days, with what changed since the day before, and the times from gates, as tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from analysis.reading.cells import listed, number_parts
from analysis.reading.compare import mean_of, values_of
from analysis.reading.days import RunsOfDay, days_of
from analysis.reading.gates import gate_days
from analysis.reading.numbers import numbers_of
from analysis.report.season import Season, Since, alike_groups
from analysis.report.table import Table
from analysis.values.comparison import Compared, MeasureKey
from analysis.values.estimate import Result

HISTORY = (
    *("athlete_id", "athlete", "day", "stance", "load_kg", "surface", "shoe"),
    *("measure", "moment", "step", "place_m", "other_leg"),
    *("runs", "mean", "mean_u", "mean_low", "mean_high", "values"),
    *("since_day", "difference", "difference_u", "difference_low", "difference_high"),
    *("claim", "change", "least_change", "rests_on", "reason"),
)
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
    return Table("history", HISTORY, tuple(tuple(row) for season in seasons for row in _history(season)))


def gate_table(seasons: Iterable[Season]) -> Table:
    """A row for each athlete, day and distance that gates were read at, against that day's films."""
    return Table("gates", GATES, tuple(tuple(row) for season in seasons for row in _gates(season)))


def _history(season: Season) -> Iterator[list[object]]:
    for day in days_of(season.readings):
        for group in alike_groups(day):
            since = season.since(group.runs[-1])
            yield from _day(season, group, since)


def _day(season: Season, day: RunsOfDay, since: Since | None) -> Iterator[list[object]]:
    numbers = [numbers_of(run) for run in day.runs]
    rows = {} if since is None else {row.key: row for row in since.comparison.rows}
    before = "" if since is None else since.before.day
    for key in dict.fromkeys(key for run in numbers for key in run):
        values = values_of(key, numbers)
        if not values:
            continue
        row = rows.get(key)
        cells = [season.athlete_id, season.code, day.day, *_under(day), *_key(key), len(values)]
        yield [*cells, *_mean(key, numbers, values), *_change(before, row)]


def _under(day: RunsOfDay) -> list[object]:
    noted = day.runs[-1].about.conditions
    stance = "" if noted.stance is None else noted.stance.value
    return [stance, noted.load_kg, noted.surface, noted.shoe]


def _key(key: MeasureKey) -> list[object]:
    moment = "" if key.moment is None else key.moment.value
    return [key.measure, moment, key.step, key.x_m, int(key.other_leg)]


def _mean(
    key: MeasureKey, numbers: Sequence[Mapping[MeasureKey, Result]], values: Sequence[float]
) -> list[object]:
    return [*number_parts(mean_of(key, numbers)), listed(values)]


def _change(before: str, row: Compared | None) -> list[object]:
    if row is None:
        return [None] * 10
    change = "" if row.change is None else row.change.value
    reason = _reason(row.difference)
    return [
        before,
        *number_parts(row.difference),
        row.claim.value,
        change,
        row.least,
        row.rests_on,
        reason,
    ]


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
