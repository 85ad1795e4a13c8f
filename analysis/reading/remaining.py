"""What the runs of a day leave to work on: the earliest question that departs in any of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from analysis.values.answers import FirstCause
from analysis.values.not_cleared import open_questions
from analysis.values.questions import Question
from analysis.values.reading import Reading


@dataclass(frozen=True)
class Remaining:
    """``cause``: of the run that stands for the day; ``shown``: how many of the ``judged`` runs, those of
    which anything could be judged, begin with its question.
    """

    cause: FirstCause
    shown: int
    judged: int

    @property
    def question(self) -> Question | None:
        """What is to be worked on; None where nothing departs."""
        return asked_of(self.cause)

    @property
    def of_some(self) -> bool:
        """Whether other runs of the day begin elsewhere or show no departure."""
        return self.question is not None and self.shown < self.judged


def asked_of(cause: FirstCause) -> Question | None:
    """The question of a run, the coach's own word before what was read; None where nothing departs."""
    return cause.question if cause.coach is None else cause.coach.question


def remaining(readings: Iterable[Reading]) -> Remaining | None:
    """The earliest departure of the runs of a day, in their order; None where nothing of any was judged.

    Each run counts by the coach's own word where there is one. Of several runs that begin with one question
    one with the coach's word stands for all, else one of which nothing earlier was left open, else the
    newest. Where none departs it is the one that leaves the fewest questions open.
    """
    causes = [one.first_cause for one in readings if one.first_cause is not None]
    judged = [one for one in causes if one.coach is not None or len(one.unread) < len(Question)]
    if not judged:
        return None
    asked = {asked_of(one) for one in judged}
    first = next((question for question in Question if question in asked), None)
    mine = [one for one in judged if asked_of(one) is first]
    return Remaining(_standing_for(mine), len(mine), len(judged))


def _standing_for(causes: Sequence[FirstCause]) -> FirstCause:
    def left_open(cause: FirstCause) -> tuple[bool, bool, int]:
        whole = cause.question is not None
        return cause.coach is None, cause.first_readable, 0 if whole else len(open_questions(cause))

    return min(reversed(causes), key=left_open)
