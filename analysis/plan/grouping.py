"""Athletes who work on the same question, and those of whom it is not certain which."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from analysis.values.questions import Question


@dataclass(frozen=True)
class Groups:
    """``by_question``: ids of athletes by the question that the day works on, in the order of the chain.

    ``nothing``: of whom every question was judged and none departs. ``doubtful``: of whom no first cause can
    be named for certain; a coach looks at each.
    """

    by_question: Mapping[Question, tuple[str, ...]]
    nothing: tuple[str, ...]
    doubtful: tuple[str, ...]


@dataclass(frozen=True)
class FirstCause:
    """What a grouping needs of a reading: its first cause, and whether an earlier question stayed unread."""

    question: Question | None
    certain: bool


def grouped(causes: Mapping[str, FirstCause]) -> Groups:
    """Groups of athletes by their first causes (athlete id to cause), each group in the order given."""
    certain = {one: cause for one, cause in causes.items() if cause.certain}
    by_question = {
        question: tuple(one for one, cause in certain.items() if cause.question is question)
        for question in Question
    }
    return Groups(
        {question: ids for question, ids in by_question.items() if ids},
        tuple(one for one, cause in certain.items() if cause.question is None),
        tuple(one for one in causes if one not in certain),
    )
