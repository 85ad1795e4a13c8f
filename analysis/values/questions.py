"""The four questions of an acceleration, in the order of the chain."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from analysis.values.words import tr


class Question(StrEnum):
    """A link of the chain; an earlier one may be the cause of a later one."""

    LAUNCH = "launch"
    SWAP = "swap"
    STRIKE = "strike"
    RHYTHM = "rhythm"


QUESTION_NAMES = {
    Question.LAUNCH: tr("launch"),
    Question.SWAP: tr("swap"),
    Question.STRIKE: tr("strike"),
    Question.RHYTHM: tr("rhythm"),
}
"""What each is called within a sentence."""


class Verdict(StrEnum):
    """What can be said of a measure beside its band, or of a question as a whole."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    UNTOLD = "cannot be told"
    NOT_JUDGED = "not judged"


@dataclass(frozen=True)
class Overruling:
    """The coach's own word on where it began, with the reason; ``question`` None: nothing went wrong."""

    question: Question | None
    reason: str
