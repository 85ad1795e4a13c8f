"""What the table beside two films says, line by line: of the two runs on show, or of several."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from analysis.reading.days import RunsOfDay
from analysis.reading.several import RunsRow, RunsTable
from analysis.report.words import unit_shown
from analysis.values.comparison import Claim, Compared, Comparison
from analysis.values.words import tr
from app.compare.measure_model import MeasureLine


@dataclass(frozen=True)
class Lines:
    """Lines of a table under their heads. ``said_first``: what can be said stands before the numbers, since
    there are many.
    """

    lines: tuple[MeasureLine, ...] = ()
    heads: tuple[str, ...] = ()
    said_first: bool = False


def of_two(comparison: Comparison, names: tuple[str, str], *, every: bool) -> Lines:
    """Both values and their difference. ``every``: also what can't be told apart."""
    lines = tuple(
        MeasureLine(row.key, (row.before, row.after, row.difference), comparison.verdict(row), why(row))
        for row in comparison.rows
        if every or row.claim is Claim.DIFFERS
    )
    return Lines(lines, (*names, tr("difference")))


def of_several(table: RunsTable, name_of: Callable[[str], str], *, every: bool) -> Lines:
    """The difference from the first day to the last, a mean a day of several runs, and a number a run."""
    means = [n for n, day in enumerate(table.days) if len(day.runs) > 1 and not day.mixed]
    compared = table.comparison is not None
    heads = [tr("last day\nless first")] if compared else []
    heads += [_mean_words(table.days[n]) for n in means]
    heads += [f"{name_of(run.about.run_id)}\n{run.about.conditions.day}".strip() for run in table.runs]
    shown = (row for row in table.rows if every or not compared or _differs(row))
    return Lines(tuple(_line(row, means, table.comparison) for row in shown), tuple(heads), compared)


def _line(row: RunsRow, means: list[int], comparison: Comparison | None) -> MeasureLine:
    numbers = (*(row.means[n] for n in means), *row.numbers)
    if comparison is None or row.compared is None:
        return MeasureLine(row.key, numbers, "")
    said = comparison.verdict(row.compared)
    return MeasureLine(row.key, (row.compared.difference, *numbers), said, why(row.compared))


def _differs(row: RunsRow) -> bool:
    return row.compared is not None and row.compared.claim is Claim.DIFFERS


def _mean_words(day: RunsOfDay) -> str:
    return tr("mean of {count}\n{day}").format(count=len(day.runs), day=day.day).strip()


def why(row: Compared) -> str:
    """From where on a change counts, where that is known."""
    if row.least is None:
        return ""
    unit = unit_shown(row.key.measure)
    words = tr("A change counts from {least:.3g} {unit} on ({rests_on}).").format(
        least=row.least * unit.factor, unit=unit.symbol, rests_on=row.rests_on
    )
    return words if not row.holds else tr("{words} It held to less than that.").format(words=words)
