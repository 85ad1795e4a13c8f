"""Pages about a run, each one HTML file that needs nothing else: for the coach, for the athlete."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined

from analysis.report import page_charts, sections
from analysis.report.page_facts import conditions_facts, day_shown, film_facts
from analysis.report.page_tables import answer_shown, posture_tables, step_table
from analysis.report.told import Told
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr

_PLAIN_TITLES = {
    Question.LAUNCH: tr("Your push"),
    Question.SWAP: tr("How your legs change over"),
    Question.STRIKE: tr("Your foot on the ground"),
    Question.RHYTHM: tr("Your rhythm"),
}
_PLAIN_VERDICTS = {
    Verdict.INSIDE: tr("as it should be"),
    Verdict.OUTSIDE: tr("here is something to work on"),
    Verdict.UNTOLD: tr("too close to call from this film"),
    Verdict.NOT_JUDGED: tr("this film can't show it"),
}


@dataclass(frozen=True)
class PlainAnswer:
    """One question in the athlete's words."""

    title: str
    verdict: str
    sentences: tuple[str, ...]


def coach_page(told: Told) -> str:
    """All that a run says. Raises PlanError where a planned drill is not known any more."""
    reading = told.reading
    return _written(
        "coach.html",
        told,
        cause=reading.first_cause,
        answers=[answer_shown(one) for one in reading.questions],
        steps=step_table(reading),
        posture=posture_tables(reading),
        start=sections.start(reading),
        speed=page_charts.speed_drawing(reading),
        rhythm=page_charts.rhythm_drawing(reading),
        no_tiles=told.no_tiles,
        tiles=[(base64.b64encode(t.jpeg).decode(), t.title, t.angles) for t in told.tiles],
        film=film_facts(told),
        cautions=tuple(dict.fromkeys((*told.film_notes, *reading.notes))),
    )


def athlete_page(told: Told) -> str:
    """What the athlete takes away, one page in plain words. Raises PlanError as ``coach_page`` does."""
    answers = [
        PlainAnswer(
            _PLAIN_TITLES[one.question],
            _PLAIN_VERDICTS[one.verdict],
            tuple(departure.sentence for departure in one.departures),
        )
        for one in told.reading.questions
    ]
    return _written("athlete.html", told, cause=told.reading.first_cause, answers=answers)


def _written(template: str, told: Told, **parts: Any) -> str:
    run, athlete = told.evidence.run, told.evidence.athlete
    return (
        _templates()
        .get_template(template)
        .render(
            code=athlete.code if athlete else "",
            name=run.name,
            conditions=conditions_facts(run.conditions),
            places=sections.places(told.reading),
            day=day_shown(told),
            charts=page_charts,
            **parts,
        )
    )


@cache
def _templates() -> Environment:
    """Every word that is put in is escaped; a name that is not there is an error, never an empty place."""
    room = files("analysis.report").joinpath("templates")
    made = Environment(
        loader=FunctionLoader(lambda name: room.joinpath(name).read_text(encoding="utf-8")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["tr"] = tr
    return made
