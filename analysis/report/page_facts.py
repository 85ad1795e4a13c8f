"""Who ran, when, how it was filmed and what was planned, as rows of words. Body mass is never among them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analysis.plan.library import drill_of
from analysis.plan.wording import BLOCK_WORDS, QUESTION_WORDS, planned_words
from analysis.report.camera_words import camera_section
from analysis.report.film_words import film_words, size_words
from analysis.report.told import Told
from analysis.values.conditions import Conditions, Stance
from analysis.values.day_plan import PlannedDrill
from analysis.values.drill import Block
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


@dataclass(frozen=True)
class DrillShown:
    """A planned drill: its name, how much of it, what to look for, what to mind."""

    name: str
    dose: str
    load: str
    cue: str
    look_for: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class DayShown:
    """The last planned day; ``blocks``: (heading, drills), none of them empty."""

    date: str
    works_on: str
    notes: str
    blocks: tuple[tuple[str, tuple[DrillShown, ...]], ...]


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


def day_shown(told: Told) -> DayShown | None:
    """The last planned day of the athlete. Raises PlanError where one of its drills is not known any more."""
    day = told.day
    if day is None:
        return None
    blocks = [(BLOCK_WORDS[b], tuple(_drill(one, told) for one in day.of_block(b))) for b in Block]
    works_on = "" if day.question is None else QUESTION_WORDS[day.question]
    return DayShown(day.date, works_on, day.notes, tuple((name, drills) for name, drills in blocks if drills))


def _drill(planned: PlannedDrill, told: Told) -> DrillShown:
    drill = drill_of(told.drills, planned.drill_id)
    own = dict(planned.loads).get(told.evidence.run.athlete_id or "", planned.load)
    dose = planned_words(planned, drill.dose.rest_after)
    return DrillShown(drill.name, dose, own, planned.cue, drill.look_for, drill.cautions)


def _times_alone(told: Told) -> str:
    film, rate = told.evidence.film, told.reading.capture_rate_hz
    size = size_words(film.width, film.height)
    return size if rate is None else tr("{size} · {rate:.4g} frames a second").format(size=size, rate=rate)


def _plain(number: float | None, unit: str = "") -> str:
    return "" if number is None else f"{number:g} {unit}".strip()
