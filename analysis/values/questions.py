"""The four questions of an acceleration, in the order of the chain."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Question(StrEnum):
    """A link of the chain; an earlier one may be the cause of a later one."""

    LAUNCH = "launch"
    SWAP = "swap"
    STRIKE = "strike"
    RHYTHM = "rhythm"


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
