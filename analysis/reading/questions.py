"""The four questions: what each measure says beside its band, and the answer in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from analysis.reading import athlete_wording, wording
from analysis.reading.breaks import RhythmCandidates, rhythm_of
from analysis.reading.found import Found, FoundBy
from analysis.reading.judging import asked_measures, departure_p, is_compared, unsaid_of, with_verdict
from analysis.reading.over_steps import direction_band
from analysis.reading.rhythm_answer import rhythm_answer
from analysis.reading.telling import holm
from analysis.values.answers import Answer, Break, Departure, Judged, Rhythm, Unsaid, together
from analysis.values.bands import BandGroup, BandTable
from analysis.values.estimate import Estimate, NoValue
from analysis.values.measures import known_measures
from analysis.values.posture import Moment
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr, tr_count

RISES = {
    Question.STRIKE: ("touchdown_distance_rise_m", "touchdown distance from step {before} to step {step}"),
    Question.RHYTHM: ("com_rise_m", "rise of the centre of mass to step {step}"),
}
"""What rises from touchdown to touchdown over the first steps, with its name: the foot lands ever further in
front (behind the centre of mass at first, then in front of it: Nagahara et al. 2014), and the centre of mass
lies ever higher (own).
"""

ASKED_FOR = known_measures() | {(measure, Moment.TOUCHDOWN) for measure, _ in RISES.values()}
"""Every measure that a question looks at, with its moment."""


@dataclass(frozen=True)
class Judgement:
    """The answers in the order of the chain, what the rhythm's rests on, and what was taken for granted."""

    answers: tuple[Answer, ...]
    rhythm: Rhythm
    unsaid: tuple[Unsaid, ...] = ()


def judge(
    found: FoundBy, candidates: RhythmCandidates, tables: Sequence[BandTable], known: BandGroup
) -> Judgement:
    """All four questions, every comparison of the run judged together at 5 % (Holm 1979): each measure that
    has a band beside it, each step against the direction of the numbers, each side difference.
    """
    asked = asked_measures(found, tables, known)
    compared = [one for several in asked.values() for one in several if is_compared(one)]
    rises = {question: _rises(question, found) for question in RISES}
    judged = [*compared, *rises[Question.STRIKE], *rises[Question.RHYTHM]]
    p = [departure_p(one) for one in judged]
    told = holm([*p, *candidates.p])
    departing = {id(one) for one, stands in zip(judged, told, strict=False) if stands}
    walked = {
        question: [with_verdict(one, departs=id(one) in departing) for one in rises[question]]
        for question in RISES
    }
    rhythm = rhythm_of(candidates, told[len(p) :])
    drops = [_drop(one) for one in walked[Question.RHYTHM] if one.verdict is Verdict.OUTSIDE]
    rhythm = replace(rhythm, breaks=(*rhythm.breaks, *drops))
    answers = [
        _answer(
            question,
            [with_verdict(one, departs=id(one) in departing) for one in several],
            tables,
            walked.get(question, ()),
        )
        for question, several in asked.items()
    ]
    unsaid = unsaid_of(compared, tables, known)
    return Judgement((*answers, rhythm_answer(rhythm, candidates, walked[Question.RHYTHM])), rhythm, unsaid)


def _rises(question: Question, found: FoundBy) -> list[Judged]:
    """What rises from one touchdown to the next over the first steps, each beside that direction."""
    measure, words = RISES[question]
    there = found.get((measure, Moment.TOUCHDOWN), ())
    return [_rise(measure, tr(words), one) for one in there if isinstance(one.result, Estimate)]


def _rise(measure: str, words: str, one: Found) -> Judged:
    band = direction_band(measure, Moment.TOUCHDOWN, one.step, rises=True)
    assert isinstance(one.result, Estimate)
    return Judged(
        measure,
        Moment.TOUCHDOWN,
        one.step,
        one.side,
        words.format(before=one.step - 1, step=one.step),
        one.result,
        one.frames,
        band,
        band.source,
        Verdict.NOT_JUDGED,
        band.beyond(one.result.value),
    )


def _drop(one: Judged) -> Break:
    return Break(one.measure, one.step - 1, one.step, one.result, one.frames)


def _answer(
    question: Question, measures: list[Judged], tables: Sequence[BandTable], walked: Sequence[Judged]
) -> Answer:
    """``walked``: what should rise from touchdown to touchdown. It clears nothing, but may depart."""
    outside = [one for one in measures if one.verdict is Verdict.OUTSIDE]
    falls = [_fall(question, one) for one in walked if one.verdict is Verdict.OUTSIDE]
    departures = (*_departures(question, outside), *falls)
    judged = [one for one in measures if one.verdict is not Verdict.NOT_JUDGED]
    untold = [one for one in judged if one.verdict is Verdict.UNTOLD]
    if departures:
        verdict = Verdict.OUTSIDE
        sentence = " ".join(d.sentence for d in departures)
    elif not judged:
        verdict, sentence = Verdict.NOT_JUDGED, _why_not_judged(measures, tables)
    elif untold:
        verdict = Verdict.UNTOLD
        sentence = tr("No departure can be told. Too close to an end of its band to say: {names}.")
        sentence = sentence.format(names=_names(untold))
    else:
        verdict = Verdict.INSIDE
        sentence = tr_count(
            "The one measure that has a band and can be read lies inside it.",
            "All {count} measures that have a band lie inside it.",
            len(judged),
        ).format(count=len(judged))
    rests = [d.frames for d in departures] or [one.frames for one in untold or judged]
    frames = together(rests)
    return Answer(question, verdict, sentence, tuple(measures), departures, frames, over_steps=tuple(walked))


def _fall(question: Question, one: Judged) -> Departure:
    sentence = wording.further_in_front(one.measure, one.beyond, one.step)
    plain = athlete_wording.landing_further(one.measure, one.beyond, one.step)
    return Departure(question, sentence, (one.step - 1, one.step), one.frames, plain)


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
            athlete_wording.departing(group),
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
