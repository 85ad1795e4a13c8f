"""Who ran, when, how it was filmed and what was planned, as rows of words. Body mass is never among them."""

from __future__ import annotations

import math

from analysis.plan.library import drill_of
from analysis.plan.wording import ALWAYS_MIND, BLOCK_WORDS, leave_out_words, mind_words, planned_words
from analysis.report.camera_words import camera_section
from analysis.report.content import Block, Bullets, Heading, Look, Words
from analysis.report.film_words import film_words, size_words
from analysis.report.told import Told
from analysis.values.conditions import Conditions, Stance
from analysis.values.day_plan import PlannedDrill
from analysis.values.drill import Block as DayBlock
from analysis.values.words import tr, tr_count

STANCE_WORDS = {
    Stance.SPLIT: tr("split stance"),
    Stance.PARALLEL: tr("feet side by side"),
    Stance.CROUCH: tr("crouch"),
    Stance.BLOCKS: tr("blocks"),
    Stance.ROLLING: tr("already moving"),
}

Fact = tuple[str, str]
"""What it is, and how it was."""


def conditions_facts(conditions: Conditions) -> tuple[Fact, ...]:
    """What was noted of the run; what nobody said is left out."""
    stance = "" if conditions.stance is None else STANCE_WORDS[conditions.stance]
    facts = (
        (tr("Day"), conditions.day),
        (tr("Rep"), _plain(conditions.rep)),
        (tr("Start stance"), stance),
        (tr("Load"), _plain(conditions.load_kg, "kg")),
        (tr("Surface"), conditions.surface),
        (tr("Shoes"), conditions.shoe),
        (tr("Wind"), _plain(conditions.wind_m_s, "m/s")),
        (tr("Cue"), conditions.cue),
    )
    return tuple((name, words) for name, words in facts if words)


def film_facts(told: Told) -> tuple[Fact, ...]:
    """How the run was filmed, and how well the film bears measuring."""
    evidence, reading = told.evidence, told.reading
    run = evidence.run
    facts: list[Fact] = [(tr("Film"), film_words(told.film) if told.film else _times_alone(told))]
    facts.append((tr("Stretch"), tr("frames {a} to {b}").format(a=run.first_frame, b=run.last_frame)))
    placed = tr_count("{count} body point placed", "{count} body points placed", len(run.points))
    followed = tr(", followed between") if evidence.tracks is not None else ""
    facts.append((tr("Body"), placed.format(count=len(run.points)) + followed))
    if reading.marks:
        worst = max(math.hypot(m.du_px, m.dv_px) for m in reading.marks)
        marks = tr_count("{count} mark", "{count} marks", len(reading.marks))
        words = tr("{marks}; the farthest lies {px:.1f} px from the map of all")
        facts.append((tr("Scale"), words.format(marks=marks.format(count=len(reading.marks)), px=worst)))
    else:
        facts.append((tr("Scale"), tr("no marks of its own")))
    camera = camera_section(reading)
    facts += [(row.name, row.text) for row in camera.rows if not row.missing]
    return tuple(facts) + (((tr("Camera"), camera.empty),) if camera.empty else ())


def day_blocks(told: Told, *, each_caution: bool) -> tuple[Block, ...]:
    """The drills of the last planned day, block by block, and what to mind, with each drill where
    ``each_caution``, else once for all. Raises PlanError where a drill is not known.
    """
    day = told.day
    if day is None:
        return ()
    found: list[Block] = []
    for block in DayBlock:
        planned = day.of_block(block)
        found += [Heading(BLOCK_WORDS[block], 3)] if planned else []
        for one in planned:
            found += _drill_blocks(one, told, each_caution=each_caution)
    held = [drill_of(told.drills, one.drill_id) for one in day.drills]
    minds, leaves = mind_words(held), leave_out_words(held)
    if minds and not each_caution:
        found.append(Words(minds, Look.QUIET, tr("Mind:")))
    if leaves:
        found.append(Words(leaves, Look.QUIET, tr("Who leaves drills out:")))
    return (*found, Words(ALWAYS_MIND, Look.QUIET))


def _drill_blocks(planned: PlannedDrill, told: Told, *, each_caution: bool) -> list[Block]:
    drill = drill_of(told.drills, planned.drill_id)
    own = dict(planned.loads).get(told.evidence.run.athlete_id or "", planned.load)
    dose = planned_words(planned, drill.dose.rest_after)
    found: list[Block] = [Words("; ".join(filter(None, (dose, own))), lead=f"{drill.name}:")]
    if planned.cue:
        found.append(Words(planned.cue, lead=tr("Cue:")))
    if each_caution:
        cautions = [tr("Mind: {words}").format(words=one) for one in drill.cautions]
        found.append(Bullets((*drill.look_for, *cautions), quiet=True))
    elif drill.look_for:
        found.append(Words("; ".join(drill.look_for), Look.QUIET, tr("Look for:")))
    return found


def _times_alone(told: Told) -> str:
    film, rate = told.evidence.film, told.reading.capture_rate_hz
    size = size_words(film.width, film.height)
    return size if rate is None else tr("{size} · {rate:.4g} frames a second").format(size=size, rate=rate)


def _plain(number: float | None, unit: str = "") -> str:
    return "" if number is None else f"{number:g} {unit}".strip()
