"""A planned day as a page of HTML, for paper: what is done, how much, what to look for, what to mind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import IntEnum
from html import escape

from analysis.plan.library import drill_of
from analysis.plan.wording import BLOCK_WORDS, leave_out_words, mind_words, planned_words
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block, Drill
from analysis.values.questions import QUESTION_NAMES
from analysis.values.words import tr


class Room(IntEnum):
    """How much of a day stands on its page; what is done, how much of it, with which load and cue, always."""

    ALL = 0
    NO_SET_UP = 1
    SHARED_CAUTIONS = 2
    """What to mind and who leaves a drill out stand once for all drills."""
    NO_LOOKING = 3
    """Nor does it say what to look for, and says so."""


def day_page(
    plan: DayPlan,
    drills: Mapping[str, Drill],
    codes: Mapping[str, str],
    sums: str,
    cautions: Sequence[str],
    room: Room = Room.ALL,
) -> str:
    """The day as HTML; all words are escaped. ``codes``: of the athletes, by id. Raises PlanError for a drill
    that is missing.
    """
    codes = {one: codes[one] for one in plan.athlete_ids if one in codes}
    head = [plan.date, *codes.values()]
    if plan.question is not None:
        head.append(tr("works on {question}").format(question=QUESTION_NAMES[plan.question]))
    parts = [f"<h2>{escape(' · '.join(head))}</h2>", f"<p>{escape(sums)}</p>"]
    held = [drill_of(drills, one.drill_id) for one in plan.drills]
    for block in Block:
        planned = plan.of_block(block)
        if planned:
            parts.append(f"<h3>{escape(BLOCK_WORDS[block])}</h3>")
            parts += [_drill(one, drill_of(drills, one.drill_id), codes, room) for one in planned]
    below = [plan.notes, *cautions]
    if room >= Room.SHARED_CAUTIONS:
        minds, leaves = mind_words(held), leave_out_words(held)
        below.append(tr("Mind: {words}").format(words=minds) if minds else "")
        below.append(tr("Who leaves drills out: {words}").format(words=leaves) if leaves else "")
    if room is Room.NO_LOOKING:
        below.append(
            tr("Left out, so that it fits on one page: set-up, what to look for. Each drill has them.")
        )
    parts += [f"<p>{escape(line)}</p>" for line in below if line.strip()]
    return "".join(parts)


def _drill(planned: PlannedDrill, drill: Drill, codes: Mapping[str, str], room: Room) -> str:
    dose = [planned_words(planned, drill.dose.rest_after), planned.load]
    dose += [f"{codes[who]}: {words}" for who, words in planned.loads if who in codes]
    looks = drill.look_for if room < Room.NO_LOOKING else ()
    own = room < Room.SHARED_CAUTIONS
    lines = [
        f"<b>{escape(drill.name)}</b>: {escape('; '.join(part for part in dose if part))}",
        escape(tr("Set-up: {words}").format(words=drill.set_up)) if drill.set_up and room is Room.ALL else "",
        escape(tr("Look for: {words}").format(words="; ".join(looks))) if looks else "",
        f"<b>{escape(tr('Cue: {cue}').format(cue=planned.cue))}</b>" if planned.cue else "",
        escape(tr("Mind: {words}").format(words="; ".join(drill.cautions))) if drill.cautions and own else "",
        escape(tr("Who leaves it out: {words}").format(words=drill.defer)) if drill.defer and own else "",
    ]
    return f"<p>{'<br>'.join(line for line in lines if line)}</p>"
