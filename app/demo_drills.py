"""The demo project's first day: what was done on it, and the films of two of its drills."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from analysis.film import open_film
from analysis.plan.library import all_drills
from analysis.plan.proposing import planned
from analysis.sheet.drill_sheet import DrillSheet, read_drill_sheet
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.conditions import Conditions
from analysis.values.day_plan import DayPlan, Done
from analysis.values.drill import Block
from analysis.values.project import Project, bare
from analysis.values.questions import Question
from analysis.values.words import tr
from app.marking import drilling

DRILLS = {"throw_kneeling": "kneeling-throw", "split_jump": "split-jump-forward"}
"""The sample clips of drills, and which drill of the library each shows."""
BLOCKS = {
    "march": Block.FOUNDATION,
    "kneeling-throw": Block.TARGETED,
    "split-jump-forward": Block.TARGETED,
    "split-start": Block.SPRINT,
}
"""What the day holds."""
DONE = {"march": "17:05", "kneeling-throw": "17:20", "split-jump-forward": "17:35"}
"""What was done of it, and when."""


def add_day(project: Path, samples: Path, date: str) -> None:
    """Plan the demo's first day in a project file, and put the films of its drills on it.

    Raises ProjectError, FilmError or SheetError.
    """
    with ProjectFile.open(project) as file:
        day = _day(file.project, date)
        file.commit(Command("", (Change(Kind.DAY, day.id, None, day),)))
        for clip, drill_id in DRILLS.items():
            sheet = read_drill_sheet(samples / f"{clip}.json")
            file.commit(_film(file.project, day, drill_id, sheet))
            file.commit(_marked(file.project, sheet))


def _day(project: Project, date: str) -> DayPlan:
    drills = all_drills(project.drills.values())
    held = tuple(
        replace(
            planned(drills[drill_id], block, f"demo-{drill_id}"),
            done=Done(f"{date}T{DONE[drill_id]}") if drill_id in DONE else None,
        )
        for drill_id, block in BLOCKS.items()
    )
    return DayPlan("demo-day", date, tuple(project.athletes), Question.LAUNCH, held, 45.0)


def _film(project: Project, day: DayPlan, drill_id: str, sheet: DrillSheet) -> Command:
    drill = all_drills(project.drills.values())[drill_id]
    made, _ = drilling.add_film(project, day, drill, open_film(sheet.film_path))
    return made


def _marked(project: Project, sheet: DrillSheet) -> Command:
    """The reps with their events, the marks and the clicks of a sample clip, on the film added last."""
    film = next(one for one in project.drill_films.values() if not one.reps)
    run = project.runs[film.run_id]
    noted = replace(
        run,
        camera_distance_m=sheet.camera_distance_m,
        conditions=Conditions(run.conditions.day, surface=tr("hall floor")),
    )
    new = replace(film, kind=sheet.kind, reps=sheet.reps)
    parts = [Change(Kind.MARK, mark.id, None, mark, run.id) for mark in sheet.marks]
    parts += [Change(Kind.POINT, point.id, None, point, run.id) for point in sheet.points]
    changes = (Change(Kind.RUN, run.id, bare(run), bare(noted)), Change(Kind.DRILL_FILM, film.id, film, new))
    return Command("", (*changes, *parts))
