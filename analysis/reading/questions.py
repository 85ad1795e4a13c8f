"""The four questions: what each measure says beside its band, and the answer in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from analysis.reading import wording
from analysis.reading.breaks import RhythmCandidates, rhythm_of
from analysis.reading.found import Found, FoundBy
from analysis.reading.judging import asked_measures, departure_p, is_compared, with_verdict
from analysis.reading.rhythm_answer import direction_band, rhythm_answer
from analysis.reading.telling import holm
from analysis.values.answers import Answer, Break, Departure, Judged, Rhythm, together
from analysis.values.bands import BandGroup, BandTable
from analysis.values.estimate import Estimate, NoValue
from analysis.values.posture import Moment
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr

RISE = ("com_rise_m", Moment.TOUCHDOWN)
"""How much higher the centre of mass is at a touchdown than at the one before."""


@dataclass(frozen=True)
class Judgement:
    """The answers in the order of the chain, and what the rhythm's rests on."""

    answers: tuple[Answer, ...]
    rhythm: Rhythm


def judge(
    found: FoundBy, candidates: RhythmCandidates, tables: Sequence[BandTable], known: BandGroup
) -> Judgement:
    """All four questions, every comparison of the run judged together at 5 % (Holm 1979): each measure that
    has a band beside it, each step against the direction of the numbers, each side difference.
    """
    asked = asked_measures(found, tables, known)
    compared = [one for several in asked.values() for one in several if is_compared(one)]
    rises = [_rise(one) for one in found.get(RISE, ()) if isinstance(one.result, Estimate)]
    p = [departure_p(one) for one in (*compared, *rises)]
    told = holm([*p, *candidates.p])
    departing = {id(one) for one, stands in zip((*compared, *rises), told, strict=False) if stands}
    rhythm = rhythm_of(candidates, told[len(p) :])
    drops = [_drop(one) for one in rises if id(one) in departing]
    rhythm = replace(rhythm, breaks=(*rhythm.breaks, *drops))
    answers = [
        _answer(question, [with_verdict(one, departs=id(one) in departing) for one in several], tables)
        for question, several in asked.items()
    ]
    judged_rises = [with_verdict(one, departs=id(one) in departing) for one in rises]
    return Judgement((*answers, rhythm_answer(rhythm, candidates, judged_rises)), rhythm)


def _rise(one: Found) -> Judged:
    """The centre of mass from one touchdown to the next: it does not drop over the first steps."""
    band = direction_band(*RISE, one.step, rises=True)
    assert isinstance(one.result, Estimate)
    return Judged(
        *RISE,
        one.step,
        one.side,
        tr("rise of the centre of mass to step {step}").format(step=one.step),
        one.result,
        one.frames,
        band,
        band.source,
        Verdict.NOT_JUDGED,
        band.beyond(one.result.value),
    )


def _drop(one: Judged) -> Break:
    return Break(one.measure, one.step - 1, one.step, one.result, one.frames)


def _answer(question: Question, measures: list[Judged], tables: Sequence[BandTable]) -> Answer:
    departures = _departures(question, [one for one in measures if one.verdict is Verdict.OUTSIDE])
    judged = [one for one in measures if one.verdict is not Verdict.NOT_JUDGED]
    untold = [one for one in judged if one.verdict is Verdict.UNTOLD]
    if departures:
        verdict = Verdict.OUTSIDE
        sentence = " ".join(d.sentence for d in departures)
    elif not judged:
        verdict, sentence = Verdict.NOT_JUDGED, _why_not_judged(measures, tables)
    elif untold:
        verdict = Verdict.UNTOLD
        sentence = tr("Nothing can be told to lie outside; not clear of the end of its band: {names}.")
        sentence = sentence.format(names=_names(untold))
    else:
        verdict = Verdict.INSIDE
        sentence = tr("All {count} measures that have a band lie inside it.").format(count=len(judged))
    rests = [d.frames for d in departures] or [one.frames for one in judged]
    return Answer(question, verdict, sentence, tuple(measures), departures, together(rests))


def _departures(question: Question, outside: Sequence[Judged]) -> tuple[Departure, ...]:
    """One for each measure that departs in one direction, with all its steps."""
    groups: dict[tuple[str, Moment, bool], list[Judged]] = {}
    for one in outside:
        groups.setdefault((one.measure, one.moment, one.beyond > 0), []).append(one)
    return tuple(
        Departure(
            question,
            wording.plainly(group),
            tuple(one.step for one in group),
            together([one.frames for one in group]),
        )
        for group in groups.values()
    )


def _why_not_judged(measures: Sequence[Judged], tables: Sequence[BandTable]) -> str:
    if not tables:
        return tr(
            "Not judged: no bands count for this athlete and start. Set bands of your own, or name five good "
            "runs."
        )
    banded = [one for one in measures if one.band is not None]
    reasons = [one.result.reason for one in banded if isinstance(one.result, NoValue)]
    if not reasons:
        return tr("Not judged: no measure of it has a band.")
    return tr("Not judged: no measure of it that has a band can be read. {reason}").format(reason=reasons[0])


def _names(several: Sequence[Judged]) -> str:
    return ", ".join(dict.fromkeys(one.name for one in several))
