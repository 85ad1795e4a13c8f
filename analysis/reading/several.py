"""Several runs beside each other, day by day, and what changed from the first of the days to the last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analysis.reading.compare import compare, mean_of
from analysis.reading.days import RunsOfDay, days_of
from analysis.reading.history import side_by_side
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.values.bands import BandTable
from analysis.values.comparison import Compared, Comparison, MeasureKey, PublishedError
from analysis.values.estimate import NoValue, Result
from analysis.values.reading import Reading
from analysis.values.words import tr


@dataclass(frozen=True)
class RunsRow:
    """One measure: a number a run, a mean a day with the errors of measuring (none over runs of several
    athletes), and what is said of the change.

    ``compared``: None where there are not two days.
    """

    key: MeasureKey
    numbers: tuple[Result, ...]
    means: tuple[Result, ...]
    compared: Compared | None


@dataclass(frozen=True)
class RunsTable:
    """``runs``: in order of day and rep; ``days``: the same, those of no known day last, together.
    ``comparison``: of the first day with the last, as ``compare`` has it; None with fewer than two known
    days, and where the runs of one of the two are not all one athlete's. ``notes``: what is to be minded.
    """

    runs: tuple[Reading, ...]
    days: tuple[RunsOfDay, ...]
    rows: tuple[RunsRow, ...]
    comparison: Comparison | None
    notes: tuple[str, ...]

    @property
    def after(self) -> tuple[Reading, ...]:
        """The runs of the last known day; those of no known day come after nothing."""
        return next((day.runs for day in reversed(self.days) if day.day), ())


def runs_table(
    readings: Sequence[Reading],
    history: Sequence[Reading] = (),
    *,
    bands: Sequence[BandTable] = (),
    allow_other_conditions: bool = False,
    published: Mapping[str, PublishedError] | None = None,
) -> RunsTable:
    """Every measure of several runs. The runs of the first known day are held against those of the last one;
    the days between them, and ``history``, serve as the athlete's other days.
    """
    runs = tuple(sorted(readings, key=_when))
    known = days_of(runs)
    undated = tuple(run for run in runs if not run.about.conditions.day)
    days = (*known, RunsOfDay("", undated)) if undated else known
    comparison = None
    if len(known) > 1 and not known[0].mixed and not known[-1].mixed:
        others = [run for one in known[1:-1] for run in one.runs]
        comparison = compare(
            known[0].runs,
            known[-1].runs,
            [*others, *history],
            bands=bands,
            allow_other_conditions=allow_other_conditions,
            published=published,
        )
    numbers = [[numbers_of(run) for run in one.runs] for one in days]
    set_ups = [set_ups_of(one.runs) for one in days]
    rows = tuple(
        RunsRow(
            key,
            found,
            tuple(
                NoValue(_whose(one)) if one.mixed else mean_of(key, of_day, alike)
                for one, of_day, alike in zip(days, numbers, set_ups, strict=True)
            ),
            None if comparison is None else comparison.row(key),
        )
        for key, found in side_by_side(runs).items()
    )
    return RunsTable(runs, days, rows, comparison, _notes(days, comparison))


def _when(reading: Reading) -> tuple[bool, str, int, str]:
    about = reading.about
    return not about.conditions.day, about.conditions.day, about.conditions.rep or 0, about.run_id


def _whose(day: RunsOfDay) -> str:
    """That the runs of a day are not all one athlete's, and what follows."""
    ids = {run.about.athlete_id for run in day.runs}
    when = day.day or tr("no known day")
    if None in ids:
        words = tr("Nobody said of all runs of {day} whose they are: no mean is made over them.")
        return words.format(day=when)
    words = tr("The runs of {day} are of {count} athletes: no mean is made over them.")
    return words.format(day=when, count=len(ids))


def _notes(days: Sequence[RunsOfDay], comparison: Comparison | None) -> tuple[str, ...]:
    mixed = tuple(_whose(one) for one in days if one.mixed)
    known = [one for one in days if one.day]
    if comparison is not None:
        return (*mixed, *comparison.notes)
    if len(known) > 1:
        return (*mixed, tr("Choose runs of one athlete to compare the first day with the last."))
    if mixed:
        return mixed
    if known:
        return (tr("All of one day: their spread is shown, a change is asked between two days."),)
    return (tr("Nobody said on which days these runs were made. Say so in their facts to compare days."),)
