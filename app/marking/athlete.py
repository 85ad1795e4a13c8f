"""Who ran: from what the coach says to a command."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import uuid4

from analysis.values.command import Change, Command, Kind, command
from analysis.values.project import Project, bare
from analysis.values.run import Athlete, Run, Sex
from analysis.values.words import tr

SEXES = (Sex.FEMALE.value, Sex.MALE.value)
"""Whose segment masses there are tables of (analysis/body)."""


def change_athlete(project: Project, run: Run, **told: Any) -> Command:
    """A fact of the athlete of the run, one of Athlete's fields; of a new one where nobody was named yet.

    An athlete's facts serve all of the athlete's runs.
    """
    old = project.athlete_of(run)
    if old is not None:
        return command(tr("Athlete"), (Change(Kind.ATHLETE, old.id, old, replace(old, **told)),))
    new = replace(Athlete(uuid4().hex, free_code(project)), **told)
    given = replace(bare(run), athlete_id=new.id)
    return command(
        tr("Athlete"),
        (Change(Kind.ATHLETE, new.id, None, new), Change(Kind.RUN, run.id, bare(run), given)),
    )


def choose_athlete(run: Run, athlete_id: str | None) -> Command:
    """Another athlete of the project ran, or nobody that was named."""
    given = replace(bare(run), athlete_id=athlete_id)
    return command(tr("Athlete"), (Change(Kind.RUN, run.id, bare(run), given),))


def free_code(project: Project) -> str:
    """A code that no athlete of the project has."""
    taken = {athlete.code for athlete in project.athletes.values()}
    return next(code for n in range(1, len(taken) + 2) if (code := f"A{n}") not in taken)
