"""Doses and planned drills in words, for window, page and print alike."""

from __future__ import annotations

from collections.abc import Iterable

from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Dose, Drill, Part, RestAfter, Span
from analysis.values.questions import QUESTION_NAMES
from analysis.values.words import tr, tr_count

BLOCK_WORDS = {
    Block.FOUNDATION: tr("Foundation"),
    Block.TARGETED: tr("Targeted"),
    Block.SPRINT: tr("Sprint"),
}
QUESTION_WORDS = {question: name.capitalize() for question, name in QUESTION_NAMES.items()}
PART_WORDS = {
    Part.STANDSTILL: tr("from a standstill"),
    Part.SPLIT_STANCE: tr("split stance"),
    Part.PUSH: tr("horizontal push"),
    Part.SWAP: tr("leg swap"),
    Part.STRIKE: tr("quick strike"),
}
AFTER_WORDS = {RestAfter.SET: tr("after each set"), RestAfter.REP: tr("after each repetition")}

ALWAYS_MIND = tr(
    "Before anything flat out: a warm-up, a clear lane and run-out, a fit athlete. Pain, injury or a return "
    "to play go to a licensed practitioner."
)


def mind_words(drills: Iterable[Drill]) -> str:
    """What to mind in any of these drills, each once."""
    return "; ".join(dict.fromkeys(words for drill in drills for words in drill.cautions))


def leave_out_words(drills: Iterable[Drill]) -> str:
    """Who leaves any of these drills out, each said once; which drill it is stands with the drill."""
    return " ".join(dict.fromkeys(drill.defer for drill in drills if drill.defer))


def span_words(span: Span) -> str:
    """Such as "2 to 4", or "3" where both ends are one."""
    if span.least == span.most:
        return f"{span.least:g}"
    return tr("{least:g} to {most:g}").format(least=span.least, most=span.most)


def dose_words(dose: Dose) -> str:
    """Such as "2 to 4 sets of 4 to 6, rest 60 to 120 s after each set; ball of 2 to 5 kg"."""
    sets, reps, rest = span_words(dose.sets), span_words(dose.reps), span_words(dose.rest_s)
    words = tr_count(
        "{sets} set of {reps}, rest {rest} s {after}",
        "{sets} sets of {reps}, rest {rest} s {after}",
        round(dose.sets.most),
    ).format(sets=sets, reps=reps, rest=rest, after=AFTER_WORDS[dose.rest_after])
    return f"{words}; {dose.load}" if dose.load else words


def planned_words(planned: PlannedDrill, after: RestAfter) -> str:
    """Such as "3 x 4, rest 90 s after each set"."""
    return tr("{sets} × {reps}, rest {rest:g} s {after}").format(
        sets=planned.sets, reps=planned.reps, rest=planned.rest_s, after=AFTER_WORDS[after]
    )


def aim_words(plan: DayPlan) -> str:
    """What a day works on."""
    return tr("no question") if plan.question is None else QUESTION_WORDS[plan.question]


def day_words(plan: DayPlan) -> str:
    """When it is, and what it works on."""
    return tr("{day}: {question}").format(day=plan.date, question=aim_words(plan))


def done_words(plan: DayPlan) -> str:
    """How much of a day was done, such as "done: foundation 2 of 2, targeted 1 of 3, sprint 0 of 1"; empty
    where nothing was marked, which does not say that nothing was done. Where an athlete left something out
    that others did, it says so.
    """
    if not plan.done:
        return ""
    left_out = any(one.done is not None and one.done.left_out for one in plan.done)
    return _done_words(plan) + (tr(", not all of it by everyone") if left_out else "")


def _done_words(plan: DayPlan) -> str:
    if plan.all_done:
        return tr("all done")
    parts = [
        tr("{block} {done} of {all}").format(
            block=BLOCK_WORDS[block].lower(),
            done=sum(one.done is not None for one in planned),
            all=len(planned),
        )
        for block in Block
        if (planned := plan.of_block(block))
    ]
    return tr("done: {parts}").format(parts=", ".join(parts))
