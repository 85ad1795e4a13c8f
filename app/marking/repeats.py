"""Films whose every picture stands several times: from the coach's word to a command."""

from __future__ import annotations

from dataclasses import replace

from analysis.values.command import Change, Command, FilmEntry, Kind, command
from analysis.values.errors import FilmError
from analysis.values.film import Film, FrameNumber
from analysis.values.project import Project
from analysis.values.run import Run, StartPush
from analysis.values.words import tr
from app.marking.facts import facts_to_keep
from app.marking.placing import change_run


def check_unmarked(project: Project, entry: FilmEntry) -> None:
    """Raise FilmError where a run on this film is marked: its frames would get other numbers."""
    if any(_marked(run) for run in _runs_on(project, entry)):
        raise FilmError(
            tr(
                "Frames get other numbers when repeats are left out, and this film is marked already. "
                "Delete what is marked on it first, or open a copy of the film."
            )
        )


def leave_out_repeats(project: Project, entry: FilmEntry, every: int, film: Film) -> Command:
    """Every picture stands ``every`` times in the file. ``film``: opened that way. Raises FilmError as
    ``check_unmarked`` does.
    """
    told = replace(entry, every=every, facts=facts_to_keep(film))
    changes = [Change(Kind.FILM, entry.id, entry, told)]
    last = FrameNumber(film.frames - 1)
    if every > 1:
        check_unmarked(project, entry)
        for run in _runs_on(project, entry):
            whole = replace(run, first_frame=FrameNumber(0), last_frame=last)
            changes += change_run(run, whole, "").changes
    return command(tr("Pictures that stand more than once"), changes)


def _runs_on(project: Project, entry: FilmEntry) -> list[Run]:
    return [run for run in project.runs.values() if run.film_id == entry.id]


def _marked(run: Run) -> bool:
    placed = run.marks or run.footfalls or run.points or run.lines
    return bool(placed) or replace(run.start, front_side=None) != StartPush()
