"""Athletes who work on the same question, and those of whom it is not certain which."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from analysis.plan.proposing import WANTED
from analysis.plan.wording import QUESTION_WORDS
from analysis.values.answers import FirstCause
from analysis.values.not_cleared import not_cleared
from analysis.values.questions import Question
from analysis.values.run import Run
from analysis.values.words import tr


@dataclass(frozen=True)
class Standing:
    """What a grouping needs of an athlete: the question to work on, None for none; ``doubt``: why that is not
    certain, in a sentence, empty where it is.
    """

    question: Question | None
    doubt: str = ""


@dataclass(frozen=True)
class Groups:
    """``by_question``: ids of athletes by the question that the day works on, in the order of the chain.

    ``nothing``: of whom every question was judged whole and none departs. ``doubtful``: of whom no first
    cause can be named for certain; a coach looks at each.
    """

    by_question: Mapping[Question, tuple[str, ...]]
    nothing: tuple[str, ...]
    doubtful: tuple[str, ...]


def grouped(standings: Mapping[str, Standing]) -> Groups:
    """Groups of athletes by where they stand (by athlete id), each group in the order given."""
    certain = {one: standing for one, standing in standings.items() if not standing.doubt}
    by_question = {
        question: tuple(one for one, standing in certain.items() if standing.question is question)
        for question in Question
    }
    return Groups(
        {question: ids for question, ids in by_question.items() if ids},
        tuple(one for one, standing in certain.items() if standing.question is None),
        tuple(one for one in standings if one not in certain),
    )


def newest_run(athlete_id: str, runs: Iterable[Run]) -> Run | None:
    """The athlete's run of the latest day noted, then of the latest repetition; None where there is none.

    A run without a day counts as older than any with one; second taggings and films of
    drills do not count.
    """
    own = (r for r in runs if r.athlete_id == athlete_id and r.retags is None and not r.of_drill)
    return max(own, key=lambda r: (r.conditions.day, r.conditions.rep or 0, r.name), default=None)


def standing_of(cause: FirstCause | None) -> Standing:
    """Where an athlete stands by the first cause of a run; None: nothing could be read. The coach's word
    counts before what was read.
    """
    if cause is None:
        return Standing(None, tr("The run can't be read: its film was not found."))
    if cause.coach is not None:
        return Standing(cause.coach.question)
    left = not_cleared(cause)
    if cause.question is not None and cause.first_readable:
        words = tr("{question} departs, but it may have begun earlier.")
        return Standing(
            cause.question, f"{words.format(question=QUESTION_WORDS[cause.question])} {left}".rstrip()
        )
    if cause.question is None and left:
        return Standing(None, f"{tr('No departure can be told.')} {left}")
    return Standing(cause.question)


def stations_for(athletes: int) -> int:
    """How many drills of a block may run side by side for so many athletes: no station stands empty."""
    return max(1, min(athletes, max(WANTED.values())))
