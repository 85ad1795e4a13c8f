"""An own pattern out of a project: the runs that the coach named as good, read, as a new table of bands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from uuid import uuid4

from analysis.jobs.runs import first_taggings
from analysis.reading import read
from analysis.reading.patterns import check_enough, own_pattern
from analysis.values.bands import BandOrigin, BandTable
from analysis.values.command import Change, Command, Kind
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.typed import now
from analysis.values.words import tr


def good_runs(project: Project, athlete_id: str | None) -> tuple[Run, ...]:
    """The runs that were named as good: an athlete's, or everybody's for a squad's pattern (None)."""
    return tuple(
        run for run in first_taggings(project) if run.named_good and athlete_id in (None, run.athlete_id)
    )


def take_pattern(path: Path, athlete_id: str | None) -> Command:
    """Read the good runs of a project and make the command that adds their pattern, in its next version.

    Raises BandError where they are too few, ProjectError, MissingFilmError or FilmError.
    """
    from analysis.jobs.evidence import known_run
    from analysis.store import ProjectFile

    with ProjectFile.open(path) as file:
        project = file.project
        runs = good_runs(project, athlete_id)
        check_enough(len(runs))
        readings = [read(known_run(file, run).evidence) for run in runs]
    table = replace(own_pattern(readings, uuid4().hex, *_name(project, athlete_id)), made_at=now())
    words = tr("Take the pattern of {count} good runs")
    return Command(words.format(count=len(runs)), (Change(Kind.BANDS, table.id, None, table),))


def _name(project: Project, athlete_id: str | None) -> tuple[str, str | None, int]:
    """Name, athlete and version of the next pattern."""
    before = [t for t in project.band_tables.values() if _is_pattern_of(t, athlete_id)]
    if before:
        newest = max(before, key=lambda t: t.version)
        return newest.name, athlete_id, newest.version + 1
    athlete = project.athletes.get(athlete_id or "")
    whose = tr("the squad") if athlete is None else athlete.code
    return tr("Own pattern of {whose}").format(whose=whose), athlete_id, 1


def _is_pattern_of(table: BandTable, athlete_id: str | None) -> bool:
    return table.origin is BandOrigin.OWN_PATTERN and table.athlete_id == athlete_id
