"""The films of drills of a project, read."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.reading import read
from analysis.reading.drills import DrillReading, read_drill
from analysis.reading.drills.loads import unloaded_runs
from analysis.values.day_plan import DayPlan
from analysis.values.drill_film import DrillKind, films_of
from analysis.values.errors import PlanError
from analysis.values.project import Project
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.store import ProjectFile


def read_day(path: Path, wanted: str | None) -> tuple[DayPlan, list[DrillReading]]:
    """The films of a day's drills, read. ``wanted``: its id, the beginning of it, or its date; None for the
    only day.

    Raises PlanError where no such day is planned, ProjectError, MissingFilmError or FilmError.
    """
    from analysis.store import ProjectFile

    with ProjectFile.open(path) as file:
        day = find_day(file.project, wanted)
        return day, read_films(file, day)


def find_day(project: Project, wanted: str | None) -> DayPlan:
    """The day of that id or date. Raises PlanError, naming the days that there are."""
    days = list(project.days.values())
    if wanted is not None:
        days = [d for d in days if wanted in (d.id, d.date)] or [d for d in days if d.id.startswith(wanted)]
    if len(days) == 1:
        return days[0]
    sentence = tr("Say which day is meant: --day, with its id or its date.")
    if not project.days:
        raise PlanError(tr("No day is planned in this project."))
    raise PlanError("\n".join([sentence, *(f"{d.id}\t{d.date}" for d in project.days.values())]))


def read_films(file: ProjectFile, day: DayPlan) -> list[DrillReading]:
    """The films of a day, in an open project. Raises MissingFilmError or FilmError."""
    from analysis.jobs.evidence import known_run

    project = file.project
    found = []
    for film in films_of(project.drill_films.values(), day.id):
        run = project.runs[film.run_id]
        free: Sequence[str] = ()
        if film.kind is DrillKind.RUN and run.conditions.load_kg:
            free = [one.id for one in unloaded_runs(project.runs.values(), run)]
        readings = [read(known_run(file, project.runs[one]).evidence) for one in free]
        found.append(read_drill(film, known_run(file, run).evidence, readings))
    return found
