"""What changed since the test before, as a table of a page."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.reading.days import RunsOfDay
from analysis.reading.key_names import key_name
from analysis.report.content import Block, Line, Look, Number, Table, Words, words
from analysis.report.season import Since
from analysis.report.words import figure, number_text, unit_shown
from analysis.values.comparison import CLAIM_WORDS, Compared, MeasureKey, way_words
from analysis.values.estimate import NoValue, Result
from analysis.values.words import capital, tr, tr_count


def key_text(key: MeasureKey) -> str:
    """The key of a number on the page: measure, moment, step, place and leg, as far as it has them."""
    parts = [key.measure]
    parts += [key.moment.value] if key.moment is not None else []
    parts += [str(key.step)] if key.step is not None else []
    parts += [f"{key.x_m:g}"] if key.x_m is not None else []
    return ":".join([*parts, *(["other"] if key.other_leg else [])])


def change_blocks(since: Since, *, dated: bool = True) -> tuple[Block, ...]:
    """Both days, every measure that differs, and what can be said of it; ``dated``: which days they are."""
    said = tr("{after} against {before}.").format(
        after=_counted(since.after, since.after.day if dated else tr("This day")),
        before=_counted(since.before, since.before.day if dated else tr("an earlier one")),
    )
    notes = tuple(Words(note, Look.QUIET) for note in since.comparison.notes)
    return (
        Words(said),
        Words(since.end.changed, Look.VERDICT),
        Words(since.end.held),
        *change_table(tr("Since the last day"), since.shown),
        Words(since.end.next),
        *notes,
    )


def _counted(day: RunsOfDay, called: str) -> str:
    count = len(day.runs)
    words = tr_count("{day} ({count} run)", "{day} ({count} runs)", count)
    return words.format(day=called, count=count)


def change_table(title: str, rows: Sequence[Compared], day: str = "") -> tuple[Block, ...]:
    """Both values, the difference, what can be said, and the least change that would count, as far as that is
    asked; below, what that rests on. ``day``: of the later test, where a page holds several changes.
    """
    head = [tr("before"), tr("after"), tr("difference"), tr("verdict")]
    asked = any(row.least is not None for row in rows)
    head += [tr("least change")] if asked else []
    lines = tuple(_change_line(row, day, asked=asked) for row in rows)
    reasons = [row.difference.reason for row in rows if isinstance(row.difference, NoValue)]
    table = Table(title, tuple(head), lines, tuple(dict.fromkeys(reasons)), tr("measure"))
    return table, *least_rests_on(rows)


def _change_line(row: Compared, day: str, *, asked: bool) -> Line:
    sides = (("before", row.before), ("after", row.after), ("difference", row.difference))
    cells = [*(result_number(row.key, result, day, side) for side, result in sides)]
    cells += [words(verdict_words(row)), *([words(least_words(row))] if asked else [])]
    return Line(capital(key_name(row.key)), "", tuple(cells))


def least_rests_on(rows: Sequence[Compared]) -> tuple[Words, ...]:
    """What the least changes that would count rest on; none where none is asked."""
    rests = dict.fromkeys(row.rests_on for row in rows if row.least is not None)
    if not rests:
        return ()
    return (Words(tr("The least change rests on {what}.").format(what="; ".join(rests)), Look.QUIET),)


def verdict_words(row: Compared) -> str:
    """What can be said of the runs, and of the athlete where that can be said: of a change that stands only
    while nothing else is asked, no more than that.
    """
    if row.change is None:
        return CLAIM_WORDS[row.claim]
    if not row.sure:
        return tr("changed, asked by itself: {way}").format(way=way_words(row.key, row.change))
    return tr("the athlete changed: {way}").format(way=way_words(row.key, row.change))


def least_words(row: Compared, *, with_unit: bool = True) -> str:
    """The least change that would count; a dash where it is not asked."""
    if row.least is None:
        return "–"
    unit = unit_shown(row.key.measure)
    number = figure(row.least * unit.factor, unit.most)
    return f"{number} {unit.symbol}".replace(" °", "°").strip() if with_unit else number


def result_number(
    key: MeasureKey, result: Result, day: str = "", side: str = "", *, with_unit: bool = True
) -> Number:
    """A number, usually with its unit; its key tells side and day too, where they are given."""
    value = None if isinstance(result, NoValue) else result.value
    name = ":".join(filter(None, (side, key_text(key), day)))
    return Number(name, number_text(result, unit_shown(key.measure), with_unit=with_unit), value)
