"""How a comparison ends: what changed, what held, what to work on next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analysis.reading.key_names import key_name, keys_name, same_but_step
from analysis.reading.remaining import Remaining, remaining
from analysis.reading.wording import at_most_in_unit
from analysis.values.comparison import Change, Claim, Compared, Comparison, MeasureKey, way_words
from analysis.values.estimate import Estimate
from analysis.values.not_cleared import not_cleared
from analysis.values.questions import QUESTION_NAMES
from analysis.values.reading import Reading
from analysis.values.words import tr, tr_count


@dataclass(frozen=True)
class Closing:
    """Sentences. ``changed``: of what differs or changed; ``held``: of what agrees to less than would count
    as a change, and apart from that of what can't be told apart or compared; ``next``: the earliest
    departure that remains in any of the second side's runs, with what was not judged there or only
    in part, which is never passed over; or the coach's own word on such a run. Of runs that are not all
    one athlete's no departure is named.
    """

    changed: str
    held: str
    next: str


_MOST = 6
"""So many measures are named; the table holds the others."""
_MOST_HELD = 3
"""So many with how far they may differ: the words take more room."""


def closing(comparison: Comparison, after: Sequence[Reading]) -> Closing:
    """The end of a comparison whose second side are the runs ``after``."""
    first = comparison.asked_first
    rows = sorted(comparison.rows, key=lambda row: row.key not in first)
    changed = _changed(rows, comparison)
    return Closing(changed, _held(rows), _next_of_several() if comparison.several else _next(after))


def _changed(rows: Sequence[Compared], comparison: Comparison) -> str:
    against = comparison.against
    changed = [row for row in rows if row.change is not None]
    differs = [row for row in rows if row.claim is Claim.DIFFERS]
    sure = [row for row in changed if row.sure]
    if sure:
        words = tr("The athlete changed{against}: {names}.")
        if comparison.two_days and not comparison.same_day:
            words = tr("The athlete changed, as far as two days alone can say{against}: {names}.")
        words = words.format(against=against, names=_named(sure))
        more = len(changed) - len(sure)
        return words if not more else f"{words} {_by_itself(more)}"
    if changed:
        words = tr("The runs differ{against}: {names}. Whether the athlete changed can't be told.")
        return f"{words.format(against=against, names=_named(differs))} {_by_itself(len(changed))}"
    if any(row.least is not None for row in differs):
        words = tr("The runs differ{against}: {names}. No more than runs of this athlete do by themselves.")
        return words.format(against=against, names=_named(differs))
    if not differs:
        return tr("No difference can be told.")
    words = tr("The runs differ{against}: {names}. Whether the athlete changed can't be said of so few runs.")
    if not comparison.one_athlete:
        words = tr(
            "The runs differ{against}: {names}. They are of two athletes, or nobody said whose they are: "
            "that one changed is not asked."
        )
    return words.format(against=against, names=_named(differs))


def _by_itself(count: int) -> str:
    words = tr_count(
        "{count} number changed, looked at by itself; of many some do by chance.",
        "{count} numbers changed, each looked at by itself; of many some do by chance.",
        count,
    )
    return words.format(count=count)


def _held(rows: Sequence[Compared]) -> str:
    """Two things that must not be mixed up: what agrees to less than counts, and what can't be told."""
    holds = [row for row in rows if row.holds]
    untold = [row for row in rows if row.claim is Claim.UNTOLD and not row.holds]
    barred = sum(row.claim is Claim.NOT_COMPARED for row in rows)
    found = []
    if holds:
        words = tr("Held, to less than would count as a change: {names}.")
        found.append(words.format(names=_bounded(holds)))
    if untold:
        words = tr("Not told apart, though not proved equal: {names}.")
        found.append(words.format(names=_bounded(untold)))
    if barred:
        words = tr_count("{count} number cannot be compared.", "{count} numbers cannot be compared.", barred)
        found.append(words.format(count=barred))
    return " ".join(found)


def _bounded(rows: Sequence[Compared]) -> str:
    """The first few measures, those of several steps together, each with what it can differ by at most."""
    alike: dict[MeasureKey, list[Compared]] = {}
    for row in rows:
        alike.setdefault(same_but_step(row.key), []).append(row)
    groups = list(alike.values())
    names = [f"{keys_name([row.key for row in group])} {_at_most(group)}" for group in groups[:_MOST_HELD]]
    more = sum(map(len, groups[_MOST_HELD:]))
    if more:
        words = tr_count("and {count} number more", "and {count} numbers more", more)
        names.append(words.format(count=more))
    return "; ".join(names)


def _at_most(rows: Sequence[Compared]) -> str:
    """The end of the 95 % intervals of the differences that lies farthest out."""
    there = [row.difference for row in rows if isinstance(row.difference, Estimate)]
    most = max(max(abs(one.low), abs(one.high)) for one in there)
    return tr("(within {most})").format(most=at_most_in_unit(most, rows[0].key.measure))


def _next_of_several() -> str:
    """Of runs of several athletes the last one says nothing of what the others work on."""
    return tr("Next: the runs are not all one athlete's. What each works on stands with their own runs.")


def _next(after: Sequence[Reading]) -> str:
    left = remaining(after)
    if left is None:
        return tr("Next: nothing could be judged after it, so nothing is cleared.")
    cause = left.cause
    if cause.coach is not None:
        asked = cause.coach.question
        name = tr("nothing went wrong") if asked is None else QUESTION_NAMES[asked]
        words = tr("Next, by the coach's own word: {name}. {reason}")
        return _in_some(left, words.format(name=name, reason=cause.coach.reason))
    if cause.question is not None:
        words = _in_some(left, tr("Next: {cause}").format(cause=cause.departures[0].sentence))
        if cause.first_readable:
            words += " " + tr("That is the first that could be read: it may have begun earlier.")
    elif left.judged > 1:
        words = tr("Next: no departure remains that can be told in any of {runs} runs.")
        words = words.format(runs=left.judged)
    else:
        words = tr("Next: no departure remains that can be told.")
    return f"{words} {not_cleared(cause)}".rstrip()


def _in_some(left: Remaining, words: str) -> str:
    """With how many runs of the day show it, where not all do."""
    if not left.of_some or left.question is None:
        return words
    said = tr("{shown} of {judged} runs begin with {question}.")
    name = QUESTION_NAMES[left.question]
    return f"{words} {said.format(shown=left.shown, judged=left.judged, question=name)}"


def _named(rows: Sequence[Compared]) -> str:
    names = [f"{key_name(row.key)} {_way(row)}" for row in rows[:_MOST]]
    if len(rows) > _MOST:
        names.append(tr("and {count} more").format(count=len(rows) - _MOST))
    return "; ".join(names)


def _way(row: Compared) -> str:
    if row.change is not None:
        return way_words(row.key, row.change)
    assert isinstance(row.difference, Estimate)
    return way_words(row.key, Change.HIGHER if row.difference.value > 0 else Change.LOWER)
