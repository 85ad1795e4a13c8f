"""Verdicts, questions and what can be said of an athlete, in words."""

from __future__ import annotations

from analysis.plan.wording import QUESTION_WORDS
from analysis.reading.remaining import Remaining
from analysis.report.season import Standing
from analysis.values.answers import FirstCause, Judged
from analysis.values.not_cleared import names_of, open_questions
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr

VERDICT_WORDS = {
    Verdict.INSIDE: tr("inside"),
    Verdict.OUTSIDE: tr("departs"),
    Verdict.UNTOLD: tr("cannot be told"),
    Verdict.NOT_JUDGED: tr("not judged"),
}
STANDING_WORDS = {
    Standing.CHANGED: tr("changed"),
    Standing.HELD: tr("no change that can be told"),
    Standing.UNTOLD: tr("cannot be told"),
}
QUESTION_TITLES = {
    Question.LAUNCH: tr("Launch: did the push send the hips forwards?"),
    Question.SWAP: tr("Swap: do the legs change over in time?"),
    Question.STRIKE: tr("Strike: what does the foot do on the ground?"),
    Question.RHYTHM: tr("Rhythm: do the numbers walk the right way?"),
}


def departs_words(left: Remaining | None) -> str:
    """Where the runs of a day depart first, in few words: the coach's own word, or what was read, with what
    was left open before it or, where nothing departs, at all.
    """
    if left is None:
        return tr("nothing could be judged")
    return _with_share(left, _cause_words(left.cause))


def _with_share(left: Remaining, said: str) -> str:
    if not left.of_some:
        return said
    words = tr("{question}, {shown} of {judged} runs")
    return words.format(question=said, shown=left.shown, judged=left.judged)


def _cause_words(cause: FirstCause) -> str:
    if cause.coach is not None:
        asked = cause.coach.question
        name = tr("nothing went wrong") if asked is None else QUESTION_WORDS[asked]
        return tr("{question}, by the coach's own word").format(question=name)
    if cause.question is not None:
        words = tr("{question}, first readable") if cause.first_readable else "{question}"
        return words.format(question=QUESTION_WORDS[cause.question])
    left = open_questions(cause)
    words = tr("none that can be told; not cleared: {names}") if left else tr("none that can be told")
    return words.format(names=names_of(left) if left else "")


def judged_words(one: Judged) -> str:
    """A measure's verdict; one that was not judged for want of a band says so."""
    unbanded = one.band is None and one.verdict is Verdict.NOT_JUDGED
    return tr("no band") if unbanded else VERDICT_WORDS[one.verdict]
