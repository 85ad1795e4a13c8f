"""Verdicts, questions and what can be said of an athlete, in words."""

from __future__ import annotations

from analysis.report.season import Standing
from analysis.values.answers import Judged
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


def judged_words(one: Judged) -> str:
    """A measure's verdict; one that was not judged for want of a band says so."""
    unbanded = one.band is None and one.verdict is Verdict.NOT_JUDGED
    return tr("no band") if unbanded else VERDICT_WORDS[one.verdict]
