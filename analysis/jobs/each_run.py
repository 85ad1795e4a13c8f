"""The same thing written of every run of a project, into one folder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from analysis.jobs.export import Written, writing
from analysis.jobs.hiding import why_not_to_show
from analysis.jobs.read_runs import left_out
from analysis.jobs.report_names import names_of_runs
from analysis.jobs.runs import find_run, first_taggings, in_order
from analysis.store import ProjectFile
from analysis.values.audience import Audience
from analysis.values.errors import CinderlaneError
from analysis.values.progress import Say, share_of
from analysis.values.words import one_line, tr

Write = Callable[[str, Path, Say | None], Sequence[str]]
"""Writes the run of that id to a file, says the share that is done, and gives sentences for the coach."""


def write_each(
    project: Path, folder: Path, ending: str, audience: Audience, write: Write, say: Say | None = None
) -> Written:
    """Write something of every run that the audience may see.

    Raises CinderlaneError where there is no run, nothing could be written, or the folder can't be made.
    """
    with ProjectFile.open(project) as file:
        known = file.project
    runs = in_order(known, first_taggings(known))
    if not runs:
        find_run(known, None)  # says that there is none
    refused = {run.id: why for run in runs if (why := why_not_to_show(known, run, audience))}
    if len(refused) < len(runs):
        with writing(folder):
            folder.mkdir(parents=True, exist_ok=True)
    names = names_of_runs(known, runs, audience)
    files: list[Path] = []
    notes: list[str] = []
    lost: list[str] = []
    for done, run in enumerate(runs):
        out = folder / f"{names[run.id]}{ending}"
        if run.id in refused:
            lost.append(left_out(run, refused[run.id]))
            continue
        told = share_of(say, done / len(runs), (done + 1) / len(runs))
        try:
            said = write(run.id, out, told)
        except CinderlaneError as error:
            lost.append(left_out(run, str(error)))
        else:
            files.append(out)
            notes += [tr("{run}: {note}").format(run=one_line(run.name), note=note) for note in said]
    return Written(tuple(files), tuple(notes), tuple(lost)).any_of_it()
