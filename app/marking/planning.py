"""Planned days and drills: from what the coach does to a command."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from uuid import uuid4

from analysis.plan.grouping import standing_of, stations_for
from analysis.plan.library import all_drills
from analysis.plan.proposing import planned, propose
from analysis.plan.volume import Sprinting
from analysis.values.command import Change, Command, Kind, command
from analysis.values.day_plan import DayPlan, Done
from analysis.values.drill import Block, Dose, Drill, RestAfter, Span
from analysis.values.errors import PlanError
from analysis.values.project import Project
from analysis.values.questions import Question
from analysis.values.reading import Reading
from analysis.values.typed import now, typed_number
from analysis.values.words import tr

LATELY = 2
"""So many days before a day, their drills come last in a proposal."""


def drills_of(project: Project) -> dict[str, Drill]:
    """Every drill that a day of the project may hold."""
    return all_drills(project.drills.values())


def planned_question(reading: Reading | None) -> Question | None:
    """What a day should work on after a run: the coach's word, else the reading's first cause."""
    cause = None if reading is None else reading.first_cause
    return None if cause is None else standing_of(cause).question


def new_day(date: str, athlete_ids: Iterable[str], question: Question | None) -> Command:
    """Begin an empty day."""
    day = DayPlan(uuid4().hex, date, tuple(athlete_ids), question)
    return Command(tr("New day"), (Change(Kind.DAY, day.id, None, day),))


def group_day(
    project: Project,
    date: str,
    athlete_ids: tuple[str, ...],
    question: Question | None,
    minutes: float | None,
) -> Command:
    """Begin a day for athletes who work on one question, its blocks filled, its stations set."""
    stations = stations_for(len(athlete_ids))
    day = DayPlan(uuid4().hex, date, athlete_ids, question, minutes=minutes, stations=stations)
    return Command(tr("New day"), (Change(Kind.DAY, day.id, None, _filled(project, day)),))


def change_day(old: DayPlan, new: DayPlan, words: str = "") -> Command:
    """The day becomes another value."""
    return command(words or tr("Day"), (Change(Kind.DAY, old.id, old, new),))


def remove_day(day: DayPlan) -> Command:
    """Take a day out of the project."""
    return Command(tr("Remove the day"), (Change(Kind.DAY, day.id, day, None),))


def fill_day(project: Project, day: DayPlan) -> Command:
    """Fill the day's blocks with what serves its question; what stood there goes. Raises PlanError where
    some of it was done.
    """
    if day.done:
        raise PlanError(tr("Drills of this day are done already. Plan a new day for other ones."))
    return change_day(day, _filled(project, day), tr("Propose drills"))


def _filled(project: Project, day: DayPlan) -> DayPlan:
    before = sorted(
        (one for one in project.days.values() if one.date < day.date), key=lambda one: one.date, reverse=True
    )
    shared = [one for one in before if set(one.athlete_ids) & set(day.athlete_ids)]
    lately = [drill.drill_id for one in shared[:LATELY] for drill in one.drills]
    drills = drills_of(project)
    known = Sprinting(project.days.values(), project.runs.values(), drills)
    return propose(day, drills, _new_id, lately, known.without_jump_m(day))


def add_drill(day: DayPlan, drill: Drill, block: Block | None = None, place: int | None = None) -> Command:
    """Put a drill on the day: into a block, else into the first where it may stand."""
    where = drill.blocks[0] if block is None else block
    return change_day(day, day.with_drill(planned(drill, where, _new_id()), place), tr("Add a drill"))


def move_drill(day: DayPlan, planned_id: str, block: Block, place: int) -> Command:
    """Put a drill of the day elsewhere; ``place`` counts within the block, the drill itself left out."""
    one = next(one for one in day.drills if one.id == planned_id)
    return change_day(day, day.with_drill(replace(one, block=block), place), tr("Move a drill"))


def step_drill(day: DayPlan, planned_id: str, step: int) -> Command:
    """Move a drill up (-1) or down (1), from block to block at their ends."""
    order = list(Block)
    one = next(one for one in day.drills if one.id == planned_id)
    mates = day.of_block(one.block)
    place = mates.index(one) + step
    if 0 <= place < len(mates):
        return move_drill(day, planned_id, one.block, place)
    block = order.index(one.block) + step
    if not 0 <= block < len(order):
        return Command("", ())
    at = len(day.of_block(order[block])) if step < 0 else 0
    return move_drill(day, planned_id, order[block], at)


def set_field(day: DayPlan, planned_id: str, field: str, text: str) -> Command:
    """What was typed for a drill of the day. Raises PlanError where it can't be."""
    one = next(one for one in day.drills if one.id == planned_id)
    counted = field in ("sets", "reps", "rest_s")
    told: dict[str, Any] = {field: _count(text, whole=field != "rest_s") if counted else text.strip()}
    return change_day(day, day.with_drill(replace(one, **told)), tr("Change a drill"))


def turn_done(day: DayPlan, planned_id: str) -> Command:
    """A drill of the day was done, at this minute, by all of its athletes; once more: it was not."""
    one = next(one for one in day.drills if one.id == planned_id)
    if one.done is not None and not one.done.left_out:
        return change_day(day, day.with_drill(replace(one, done=None)), tr("Drill not done"))
    done = Done(now()) if one.done is None else replace(one.done, left_out=())
    return change_day(day, day.with_drill(replace(one, done=done)), tr("Drill done"))


def turn_done_by(day: DayPlan, planned_id: str, athlete_id: str) -> Command:
    """One athlete of a group did a drill of the day; once more: left it out. Who is asked for first did it
    alone; what everybody left out is not done.
    """
    one = next(one for one in day.drills if one.id == planned_id)
    others = set(day.athlete_ids) - {athlete_id}
    done = Done(now(), left_out=tuple(sorted(others))) if one.done is None else None
    if one.done is not None:
        left = set(one.done.left_out) ^ {athlete_id}
        done = None if left >= set(day.athlete_ids) else replace(one.done, left_out=tuple(sorted(left)))
    return change_day(day, day.with_drill(replace(one, done=done)), tr("Who did a drill"))


def note_done(day: DayPlan, planned_id: str, text: str) -> Command:
    """What is to be kept of how a drill went; it was done then."""
    one, text = next(one for one in day.drills if one.id == planned_id), text.strip()
    if one.done is None and not text:
        return Command("", ())
    done = Done(now(), text) if one.done is None else replace(one.done, note=text)
    return change_day(day, day.with_drill(replace(one, done=done)), tr("How a drill went"))


def set_load(day: DayPlan, planned_id: str, athlete_id: str, text: str) -> Command:
    """An athlete's own load for a drill of the day; nothing, or what all others have, takes it back."""
    one = next(one for one in day.drills if one.id == planned_id)
    loads = dict(one.loads) | {athlete_id: text.strip()}
    own = tuple((who, words) for who, words in sorted(loads.items()) if words not in ("", one.load))
    return change_day(day, day.with_drill(replace(one, loads=own)), tr("Change a load"))


def _count(text: str, *, whole: bool) -> float:
    number = typed_number(text, "s")
    least, most = (1, 99) if whole else (0, 1800)
    if not least <= number <= most or (whole and number != int(number)):
        kind = tr("a whole number") if whole else tr("seconds")
        raise PlanError(
            tr("{text} can't be right here. Write {kind} from {least} to {most}.").format(
                text=text or "–", kind=kind, least=least, most=most
            )
        )
    return int(number) if whole else number


def keep_drill(project: Project, drill: Drill) -> Command:
    """The coach's own wording of a drill, or a drill of their own. Another dose is the coach's: who said the
    former one doesn't answer for it.
    """
    own, before = replace(drill, own=True), drills_of(project).get(drill.id)
    if before is not None and own.dose != before.dose and own.dose.source == before.dose.source:
        own = replace(own, dose=replace(own.dose, source=tr("the coach")))
    return command(tr("Drill"), (Change(Kind.DRILL, own.id, project.drills.get(own.id), own),))


def blank_drill() -> Drill:
    """A drill of the coach's own, to be written."""
    dose = Dose(Span(2, 3), Span(3, 5), Span(60, 120), RestAfter.SET, "", tr("the coach"))
    return Drill(
        id=_new_id(),
        name=tr("New drill"),
        blocks=(Block.TARGETED,),
        questions=(),
        parts=(),
        purpose="",
        set_up="",
        dose=dose,
        rep_s=5.0,
        sprint_m=0.0,
        look_for=(),
        faults=(),
        easier="",
        harder="",
        cautions=(),
        defer="",
        own=True,
    )


def drop_drill(project: Project, drill_id: str) -> Command:
    """Without the coach's own: a common one stands again as it came."""
    old = project.drills.get(drill_id)
    return command(tr("Remove the drill"), (Change(Kind.DRILL, drill_id, old, None),))


def _new_id() -> str:
    return uuid4().hex
