"""A planned day as one page of HTML, for paper: what is done, how much, what to look for, what to mind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from analysis.plan.library import drill_of
from analysis.plan.wording import BLOCK_WORDS, planned_words
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Drill
from analysis.values.questions import QUESTION_NAMES
from analysis.values.words import tr


def day_page(
    plan: DayPlan,
    drills: Mapping[str, Drill],
    codes: Mapping[str, str],
    sums: str,
    cautions: Sequence[str],
) -> str:
    """The day as HTML; all words are escaped. ``codes``: of the athletes, by id. Raises PlanError for a drill
    that is missing.
    """
    codes = {one: codes[one] for one in plan.athlete_ids if one in codes}
    head = [plan.date, *codes.values()]
    if plan.question is not None:
        head.append(tr("works on {question}").format(question=QUESTION_NAMES[plan.question]))
    parts = [f"<h2>{escape(' · '.join(head))}</h2>", f"<p>{escape(sums)}</p>"]
    for block in Block:
        planned = plan.of_block(block)
        if planned:
            parts.append(f"<h3>{escape(BLOCK_WORDS[block])}</h3>")
            parts += [_drill(one, drill_of(drills, one.drill_id), codes) for one in planned]
    parts += [f"<p>{escape(line)}</p>" for line in (plan.notes, *cautions) if line.strip()]
    return "".join(parts)


def _drill(planned: PlannedDrill, drill: Drill, codes: Mapping[str, str]) -> str:
    dose = [planned_words(planned, drill.dose.rest_after), planned.load]
    dose += [f"{codes[who]}: {words}" for who, words in planned.loads if who in codes]
    lines = [
        f"<b>{escape(drill.name)}</b>: {escape('; '.join(part for part in dose if part))}",
        escape(tr("Look for: {words}").format(words="; ".join(drill.look_for))) if drill.look_for else "",
        f"<b>{escape(tr('Cue: {cue}').format(cue=planned.cue))}</b>" if planned.cue else "",
        escape(tr("Mind: {words}").format(words="; ".join(drill.cautions))) if drill.cautions else "",
    ]
    return f"<p>{'<br>'.join(line for line in lines if line)}</p>"
