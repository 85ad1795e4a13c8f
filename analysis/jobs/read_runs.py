"""The runs of a project, read: what pages, tables and gate times are made from."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.jobs.evidence import KnownRun, known_run
from analysis.jobs.runs import first_taggings, in_order
from analysis.reading import read
from analysis.store import ProjectFile
from analysis.values.errors import CinderlaneError
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import one_line, tr


@dataclass(frozen=True)
class ReadRun:
    """A run with what its reading rests on, its film and its reading."""

    known: KnownRun
    reading: Reading


def read_all(file: ProjectFile, must: Run | None = None) -> tuple[dict[str, ReadRun], tuple[str, ...]]:
    """The runs of an open project that can be read, by their ids and in order, and why others were left out.

    ``must``: raises CinderlaneError where this one can't be read; of others nothing is said then.
    """
    found: dict[str, ReadRun] = {}
    notes: list[str] = []
    wanted = first_taggings(file.project) if must is None else {must.id: must, **_mates(file, must)}.values()
    for run in in_order(file.project, wanted):
        try:
            known = known_run(file, run)
            found[run.id] = ReadRun(known, read(known.evidence))
        except CinderlaneError as error:
            if must is not None and run.id == must.id:
                raise
            if must is None:
                notes.append(left_out(run, str(error)))
    return found, tuple(notes)


def left_out(run: Run, why: str) -> str:
    """A sentence for the coach."""
    return tr("{run} was left out. {why}").format(run=one_line(run.name), why=why)


def _mates(file: ProjectFile, run: Run) -> dict[str, Run]:
    """The other runs of the same athlete."""
    if run.athlete_id is None:
        return {}
    return {one.id: one for one in first_taggings(file.project) if one.athlete_id == run.athlete_id}
