"""``compare``: two runs, or the runs of two days, measure by measure; two claims kept apart."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain

import numpy as np

from analysis.reading.asked_first import asked_first, surely_changed
from analysis.reading.change import Threshold, threshold
from analysis.reading.conditions import condition_notes, differing, one_day, same_athlete
from analysis.reading.days import several_athletes
from analysis.reading.key_names import measure_name
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import mean_u, set_ups_of
from analysis.reading.telling import ALPHA, estimate_p, holm
from analysis.values.bands import BandTable, Better, judging
from analysis.values.comparison import (
    Change,
    Claim,
    Compared,
    Comparison,
    MeasureKey,
    PublishedError,
)
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.measures import unit_of
from analysis.values.reading import Reading
from analysis.values.words import tr

Numbers = Sequence[Mapping[MeasureKey, Result]]


def compare(
    before: Sequence[Reading],
    after: Sequence[Reading],
    history: Sequence[Reading] = (),
    *,
    bands: Sequence[BandTable] = (),
    allow_other_conditions: bool = False,
    published: Mapping[str, PublishedError] | None = None,
) -> Comparison:
    """Every measure that both sides may have: both values, the difference, and what can be said of it.

    *The runs differ*: the difference of the means is beyond errors of measuring, at 5 % over all measures
    together (Holm 1979). *The athlete changed*: it is beyond the spread between runs as well (see
    ``change.threshold``); never with one run on a side, unless a ``published`` typical error is chosen, by
    measure. ``before``, ``after``: the runs of a day each, of one athlete each. ``history``: the athlete's
    other runs; those under other conditions do not count. ``bands``: tables that may say which way is better.
    """
    other = differing([*before, *after])
    barred = bool(other) and not allow_other_conditions
    one, two = [numbers_of(r) for r in before], [numbers_of(r) for r in after]
    keys = list(dict.fromkeys(chain.from_iterable(chain(one, two))))
    set_ups = set_ups_of(before), set_ups_of(after)
    rows = [_row(key, (one, two), set_ups, barred) for key in keys]
    told = _told(rows)
    mine = same_athlete([*before, *after])
    days = _other_days(history, before, after) if mine else {}
    late = _with_after(days, before, after)
    leasts = [_threshold(row, one, two, days, published or {}, late) if mine else None for row in rows]
    compared = [
        _with_change(row, Claim.DIFFERS if differs else row.claim, least, bands)
        for row, differs, least in zip(rows, told, leasts, strict=True)
    ]
    first = asked_first(before)
    compared = [
        replace(row, sure=sure) for row, sure in zip(compared, surely_changed(compared, first), strict=True)
    ]
    two_days = any(least is not None and least.one_days for least in leasts)
    notes = (
        *condition_notes(before, after, other, barred=barred),
        *_published(compared, published or {}),
        *_of_one_days(two_days),
        *_by_chance(compared),
    )
    despite = () if barred else tuple(other)
    return Comparison(
        tuple(compared),
        notes,
        despite,
        one_day(before, after),
        first,
        one_athlete=mine,
        several=several_athletes([*before, *after]),
        two_days=two_days,
    )


def _published(rows: Sequence[Compared], published: Mapping[str, PublishedError]) -> list[str]:
    """The typical errors that were chosen and that something is judged by, with where they come from."""
    used = [key for key in published if any(r.key.measure == key and r.least is not None for r in rows)]
    words = tr("{name}: judged by a typical error of {error:g} {unit} ({source}), not by this athlete's own.")
    return [
        words.format(
            name=measure_name(measure),
            error=published[measure].typical_error,
            unit=unit_of(measure),
            source=published[measure].source,
        ).replace("  ", " ")
        for measure in used
    ]


def _of_one_days(two_days: bool) -> list[str]:
    """What the spread between runs of a day leaves open."""
    if not two_days:
        return []
    return [
        tr(
            "Judged by how runs of one day differ. How much this athlete's days differ by themselves nobody "
            "knows yet: a good or a bad day may look like a change. Runs of a third day settle it."
        )
    ]


def _by_chance(rows: Sequence[Compared]) -> list[str]:
    """How many of the changes may be none: each measure is asked for itself."""
    asked = sum(row.least is not None for row in rows)
    if asked * ALPHA < 1:
        return []
    words = tr(
        "That the athlete changed was asked of {asked} measures, each for itself: about {few:.0f} of them "
        "would be called a change by chance alone."
    )
    return [words.format(asked=asked, few=asked * ALPHA)]


def _row(
    key: MeasureKey,
    sides: tuple[Numbers, Numbers],
    set_ups: tuple[Sequence[int], Sequence[int]],
    barred: bool,
) -> Compared:
    before, after = (mean_of(key, side, of) for side, of in zip(sides, set_ups, strict=True))
    if barred:
        reason = tr("The conditions are others. Allow it to compare all the same.")
        return Compared(key, before, after, NoValue(reason), Claim.NOT_COMPARED)
    for side in (before, after):
        if isinstance(side, NoValue):
            return Compared(key, before, after, side, Claim.NOT_COMPARED)
    assert isinstance(before, Estimate)
    assert isinstance(after, Estimate)
    u = math.hypot(before.u, after.u)
    value = after.value - before.value
    half = math.hypot(before.half_width, after.half_width)
    return Compared(key, before, after, Estimate(value, u, value - half, value + half), Claim.UNTOLD)


def mean_of(key: MeasureKey, side: Numbers, set_ups: Sequence[int]) -> Result:
    """The mean of a measure over the runs of a side, with the errors of measuring; the first reason where no
    run has a number. ``set_ups``: by which marks each run was read (``set_ups_of``).
    """
    found = [run.get(key, NoValue(tr("The run has no such step or place."))) for run in side]
    there = [(n, set_up) for n, set_up in zip(found, set_ups, strict=True) if isinstance(n, Estimate)]
    if not there:
        return next(number for number in found if isinstance(number, NoValue))
    numbers = [number for number, _ in there]
    if len(numbers) == 1:
        return numbers[0]
    value = float(np.mean([number.value for number in numbers]))
    apart = math.hypot(*(number.u for number in numbers))
    u = mean_u(numbers, [set_up for _, set_up in there])
    half = math.hypot(*(number.half_width for number in numbers))
    half *= u / apart if apart > 0 else 1 / len(numbers)
    return Estimate(value, u, value - half, value + half)


def _told(rows: Sequence[Compared]) -> list[bool]:
    p = [estimate_p(r.difference) for r in rows if isinstance(r.difference, Estimate)]
    told = iter(holm(p))
    return [isinstance(r.difference, Estimate) and next(told) for r in rows]


def _other_days(
    history: Sequence[Reading], before: Sequence[Reading], after: Sequence[Reading]
) -> dict[str, Numbers]:
    """The athlete's other runs under the same conditions, by their day."""
    compared = {id(reading) for reading in (*before, *after)}
    known = {r.about.conditions.day for r in (*before, *after)}
    days: dict[str, list[Mapping[MeasureKey, Result]]] = {}
    for reading in history:
        day = reading.about.conditions.day
        fits = same_athlete([*before, reading]) and not differing([*before, *after, reading])
        if day and day not in known and fits and id(reading) not in compared:
            days.setdefault(day, []).append(numbers_of(reading))
    return dict(days)


def _with_after(days: Iterable[str], before: Sequence[Reading], after: Sequence[Reading]) -> frozenset[str]:
    """Of the other days those on the side of ``after``: what lies after the later of the two days compared
    stands with that one, all else with the other.
    """
    one, two = (max(r.about.conditions.day for r in side) for side in (before, after))
    later = max(one, two)
    return frozenset(day for day in days if (day > later) == (one <= two))


def _threshold(
    row: Compared,
    one: Numbers,
    two: Numbers,
    days: Mapping[str, Numbers],
    published: Mapping[str, PublishedError],
    with_after: Collection[str],
) -> Threshold | None:
    if row.claim is Claim.NOT_COMPARED:
        return None
    before, after = values_of(row.key, one), values_of(row.key, two)
    others = {day: found for day, runs in days.items() if (found := values_of(row.key, runs))}
    errors = [number.u for run in (*one, *two) if isinstance(number := run.get(row.key), Estimate)]
    measuring = float(np.sqrt(np.mean(np.square(errors))))
    return threshold(before, after, others, measuring, published.get(row.key.measure), with_after)


def values_of(key: MeasureKey, side: Numbers) -> list[float]:
    """The values of a measure over the runs of a side, those without a number left out."""
    found = (run.get(key) for run in side)
    return [number.value for number in found if isinstance(number, Estimate)]


def _with_change(
    row: Compared, claim: Claim, least: Threshold | None, bands: Sequence[BandTable]
) -> Compared:
    change = None
    if least is not None and claim is Claim.DIFFERS and isinstance(row.difference, Estimate):
        value = row.difference.value
        if abs(value) > least.least:
            change = _named(row.key, value, bands)
    judged = replace(row, claim=claim, change=change)
    if least is None:
        return judged
    return replace(judged, least=least.least, rests_on=least.rests_on, freedom=least.freedom)


def _named(key: MeasureKey, value: float, bands: Sequence[BandTable]) -> Change:
    counts = None
    if key.moment is not None and key.step is not None:
        counts = judging(bands, key.measure, key.moment, key.step)
    better = None if counts is None else counts.band.better
    if better is None:
        return Change.HIGHER if value > 0 else Change.LOWER
    return Change.BETTER if (value > 0) == (better is Better.HIGHER) else Change.WORSE
