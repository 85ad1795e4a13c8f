"""What a run left open: questions that were not judged, or not without one of their measures."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.values.answers import FirstCause, InPart
from analysis.values.questions import QUESTION_NAMES, Question
from analysis.values.words import capital, listed, tr


def open_questions(cause: FirstCause) -> tuple[Question, ...]:
    """The questions that are neither cleared nor convicted for want of points, in the order of the chain."""
    in_part = {one.question for one in cause.in_part}
    return tuple(one for one in Question if one in cause.unread or one in in_part)


def not_cleared(cause: FirstCause) -> str:
    """Sentences on every open question; empty where there is none."""
    said = []
    if cause.unread:
        words = tr("Not judged, and so not cleared: {names}.")
        said.append(words.format(names=names_of(cause.unread)))
    return " ".join([*said, *map(_in_part, cause.in_part)])


def names_of(questions: Sequence[Question]) -> str:
    """Questions in a row, within a sentence."""
    return listed([QUESTION_NAMES[one] for one in questions])


def _in_part(one: InPart) -> str:
    return tr("{name} was judged without its {measures}, and so is not cleared.").format(
        name=capital(QUESTION_NAMES[one.question]), measures=listed(one.without)
    )
