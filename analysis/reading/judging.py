"""Measures beside their bands, all of a run judged together at 5 %."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from analysis.reading.found import Found, FoundBy
from analysis.reading.telling import estimate_p
from analysis.values.answers import Judged, Unsaid
from analysis.values.bands import BandGroup, BandOrigin, BandTable, Judges
from analysis.values.estimate import Estimate
from analysis.values.measures import ASKED, Asked
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr


def asked_measures(
    found: FoundBy, tables: Sequence[BandTable], known: BandGroup
) -> dict[Question, list[Judged]]:
    """Every measure of launch, swap and strike beside the band that counts for it, not yet judged together.

    ``known``: what is known of the run, to say where a band was taken for granted.
    """
    judges = Judges(tables)
    taken = {table.id for table in tables if taken_for_granted(table, known)}
    return {
        question: [
            _beside(asked, one, judges, taken)
            for asked in ASKED[question]
            for one in found.get((asked.measure, asked.moment), ())
            if (asked.push if one.step == 0 else asked.steps)
        ]
        for question in Question
        if question is not Question.RHYTHM
    }


def _beside(asked: Asked, one: Found, judges: Judges, taken: Collection[str]) -> Judged:
    counts = judges.of(asked.measure, asked.moment, one.step)
    band = None if counts is None else counts.band
    value = one.result.value if isinstance(one.result, Estimate) else None
    return Judged(
        asked.measure,
        asked.moment,
        one.step,
        one.side,
        asked.name,
        one.result,
        one.frames,
        band,
        "" if counts is None else source_of(counts.table, counts.band.source, counts.table.id in taken),
        Verdict.NOT_JUDGED,
        0.0 if band is None or value is None else band.beyond(value),
        one.wanted,
        one.closer,
    )


def taken_for_granted(table: BandTable, known: BandGroup) -> bool:
    """Whether starting bands count for a run of which nobody said what they ask."""
    return table.origin is BandOrigin.STARTING and not table.group.fits(known)


def source_of(table: BandTable, source: str, taken: bool) -> str:
    """Who set a band: the own pattern with its runs; of a starting band what was ``taken`` for granted."""
    if table.origin is BandOrigin.OWN_PATTERN:
        return tr("own pattern, {runs} runs").format(runs=table.runs)
    if taken:
        return tr("{source}; for an adult from a split stance, which nobody said").format(source=source)
    return source


def unsaid_of(
    measures: Iterable[Judged], tables: Sequence[BandTable], known: BandGroup
) -> tuple[Unsaid, ...]:
    """What nobody said of a run of which measures were held against starting bands all the same."""
    starting = {band for table in tables if table.origin is BandOrigin.STARTING for band in table.bands}
    if not any(one.band in starting and is_compared(one) for one in measures):
        return ()
    said = {Unsaid.AGE: known.age, Unsaid.STANCE: known.stance}
    return tuple(fact for fact, value in said.items() if value is None)


def departure_p(one: Judged) -> float:
    """How likely a value so far outside its band is where the true one lies at the band's end, by the errors
    alone; 1 for one inside. Normal tails, scaled as those of ``telling.p_value``.
    """
    if not isinstance(one.result, Estimate) or one.beyond == 0.0:
        return 1.0
    half = one.result.half_width
    return estimate_p(Estimate(one.beyond, one.result.u, one.beyond - half, one.beyond + half)) / 2


def is_compared(one: Judged) -> bool:
    """Whether it has a number and a band."""
    return one.band is not None and isinstance(one.result, Estimate)


def with_verdict(one: Judged, *, departs: bool) -> Judged:
    """The measure judged: outside where its departure can be told, inside where its whole 95 % interval
    lies in the band, else it cannot be told.
    """
    if one.band is None or not isinstance(one.result, Estimate):
        return one
    if departs:
        return one._replace(verdict=Verdict.OUTSIDE)
    ends = one.band.beyond(one.result.low), one.band.beyond(one.result.high)
    return one._replace(verdict=Verdict.INSIDE if ends == (0.0, 0.0) else Verdict.UNTOLD)
