"""Which run of a project somebody means."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import PurePath

from analysis.values.errors import ProjectError
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import one_line, tr, tr_count


def first_taggings(project: Project) -> list[Run]:
    """The sprints, without those that tag another one again."""
    return [run for run in project.sprints if run.retags is None]


def in_order(project: Project, runs: Iterable[Run]) -> list[Run]:
    """Runs as they were made: by day, those without one last, then by athlete, rep and name."""

    def place(run: Run) -> tuple[bool, str, str, int, str, str]:
        athlete, noted = project.athlete_of(run), run.conditions
        code = athlete.code if athlete else ""
        return not noted.day, noted.day, code, noted.rep or 0, run.name, run.id

    return sorted(runs, key=place)


def runs_of_athlete(project: Project, run: Run) -> list[Run]:
    """All runs of a run's athlete by day, rep and name, second taggings left out; none of nobody's."""
    if run.athlete_id is None:
        return []
    mine = (one for one in first_taggings(project) if one.athlete_id == run.athlete_id)
    return sorted(mine, key=by_day)


def by_day(run: Run) -> tuple[str, int, str]:
    """Places runs by day, then rep, then name."""
    return run.conditions.day, run.conditions.rep or 0, run.name


def find_run(project: Project, wanted: str | None) -> Run:
    """The run of that id, that name, or whose id alone begins so; without ``wanted`` the only run.

    Raises ProjectError, naming the runs that there are, where none or several fit.
    """
    runs = first_taggings(project)
    if not runs:
        raise ProjectError(tr("The project holds no run. Add one with: add PROJECT SHEET.json"))
    if wanted is None:
        fitting = runs
    elif wanted in project.runs:  # by its id a drill's can be asked for too
        return project.runs[wanted]
    else:
        fitting = [r for r in runs if r.name == wanted] or [r for r in runs if r.id.startswith(wanted)]
    if len(fitting) == 1:
        return fitting[0]
    sentence = (
        tr("Say which run is meant; there are several.")
        if wanted is None
        else tr("No run is called {wanted}.").format(wanted=wanted)
        if not fitting
        else tr("Several runs could be meant by {wanted}.").format(wanted=wanted)
    )
    raise ProjectError("\n".join([sentence, *(run_line(project, run) for run in fitting or runs)]))


def run_line(project: Project, run: Run) -> str:
    """A line that tells the run from others: id, name, athlete, film, stretch, footfalls; parted by tabs."""
    athlete = project.athlete_of(run)
    count = len(run.footfalls)
    return "\t".join(
        [
            run.id,
            one_line(run.name) or "-",
            one_line(athlete.code if athlete else "") or "-",
            one_line(PurePath(project.films[run.film_id].path).name) or "-",
            tr("frames {first} to {last}").format(first=run.first_frame, last=run.last_frame),
            tr_count("{count} footfall", "{count} footfalls", count).format(count=count),
        ]
    )
