"""The answer to the fourth question: do the numbers walk the right way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from analysis.reading import athlete_wording, wording
from analysis.reading.breaks import RhythmCandidates
from analysis.reading.over_steps import direction_band, over_steps
from analysis.reading.series import RISES
from analysis.values.answers import (
    Answer,
    Break,
    Course,
    Departure,
    Judged,
    Rhythm,
    SideDifference,
    Way,
    together,
)
from analysis.values.estimate import Estimate, NoValue
from analysis.values.measures import ASKED
from analysis.values.questions import Question, Verdict
from analysis.values.words import capital, listed, tr


def rhythm_answer(rhythm: Rhythm, candidates: RhythmCandidates, rises: Sequence[Judged]) -> Answer:
    """Outside where a break, a difference between the feet or a wrong way can be told; inside where every
    number that could be read goes the right way; else it cannot be told.
    """
    sides = [side for side in rhythm.sides if side.told]
    wrong = [course for course in rhythm.courses if course.departs]
    departures = (*map(_side, sides), *map(_wrong_way, wrong), *map(_break, rhythm.breaks))
    measures = (*_changes(rhythm, candidates), *rises)
    ways = [course for course in rhythm.courses if course.way is not Way.NOT_JUDGED]
    right = [course for course in ways if course.way is Way.RIGHT]
    if departures:
        verdict, sentence = Verdict.OUTSIDE, " ".join(d.sentence for d in departures)
    elif not ways:
        verdict = Verdict.NOT_JUDGED
        sentence = tr("Not judged: it needs at least three steps. {reason}").format(
            reason=_first_reason(rhythm)
        )
    elif len(right) == len(ways):
        verdict = Verdict.INSIDE
        sentence = tr("{names} go the right way, and no step against it can be told.").format(
            names=_names(right)
        )
    else:
        verdict = Verdict.UNTOLD
        untold = [course for course in ways if course.way is not Way.RIGHT]
        sentence = tr("No break can be told. Which way they go cannot be told: {names}.").format(
            names=_names(untold, begin=False)
        )
    rests = [d.frames for d in departures] or [one.frames for one in measures]
    told = {one.measure for one in rhythm.breaks} | {one.measure for one in sides}
    beside = wording.ragged_in_words(rhythm.courses, told)
    return Answer(
        Question.RHYTHM,
        verdict,
        sentence,
        measures,
        departures,
        together(rests),
        beside,
        over_steps(rhythm),
    )


def _break(one: Break) -> Departure:
    assert isinstance(one.difference, Estimate)
    told = one.measure, one.difference.value, one.first_step, one.second_step
    words, plain = wording.change_in_words(*told), athlete_wording.changing(*told)
    return Departure(Question.RHYTHM, words, (one.first_step, one.second_step), one.frames, plain)


def _side(one: SideDifference) -> Departure:
    assert isinstance(one.difference, Estimate)
    told = one.measure, one.difference.value
    plain = athlete_wording.differing(*told)
    return Departure(Question.RHYTHM, wording.side_in_words(*told), (), one.frames, plain)


def _wrong_way(one: Course) -> Departure:
    assert isinstance(one.change, Estimate)
    words = wording.course_in_words(one.measure, one.change.value)
    plain = athlete_wording.going_wrong(one.measure, one.change.value)
    return Departure(Question.RHYTHM, words, (), one.frames, plain)


def _changes(rhythm: Rhythm, candidates: RhythmCandidates) -> Iterable[Judged]:
    """Every change from step to step beside the direction that it should have."""
    broken = {(one.measure, one.first_step) for one in rhythm.breaks}
    moments = {asked.measure: asked.moment for asked in reversed(ASKED[Question.RHYTHM])}
    frames = {
        (series.measure, series.steps[place]): series.change_frames(place)
        for series, place in candidates.pairs
    }
    for pair in candidates.shown:
        moment = moments[pair.measure]
        band = direction_band(pair.measure, moment, pair.second_step, rises=RISES[pair.measure])
        value = pair.difference.value if isinstance(pair.difference, Estimate) else 0.0
        verdict = Verdict.UNTOLD
        if isinstance(pair.difference, NoValue):
            verdict = Verdict.NOT_JUDGED
        elif (pair.measure, pair.first_step) in broken:
            verdict = Verdict.OUTSIDE
        elif pair.told_apart and not pair.against:
            verdict = Verdict.INSIDE
        yield Judged(
            pair.measure,
            moment,
            pair.second_step,
            None,
            tr("{name}, step {first} to step {second}").format(
                name=wording.series_name(pair.measure), first=pair.first_step, second=pair.second_step
            ),
            pair.difference,
            frames.get((pair.measure, pair.first_step), ()),
            band,
            band.source,
            verdict,
            band.beyond(value),
        )


def _first_reason(rhythm: Rhythm) -> str:
    return next((c.change.reason for c in rhythm.courses if isinstance(c.change, NoValue)), "")


def _names(courses: Sequence[Course], *, begin: bool = True) -> str:
    names = [wording.series_name(c.measure, many=True) for c in courses]
    return capital(listed(names)) if begin else listed(names)
