"""All that a reading of a run rests on, out of a project or a run sheet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.values.evidence import Evidence
from analysis.values.resolving import evidence_for
from analysis.values.run import Run

if TYPE_CHECKING:
    from analysis.jobs.films import KnownFilm
    from analysis.store import ProjectFile


def evidence_of_sheet(path: Path) -> tuple[Evidence, tuple[str, ...]]:
    """The evidence in a run sheet, and sentences for the coach. The film is opened where times are missing.

    Raises SheetError, MissingFilmError or FilmError.
    """
    from analysis.sheet import read_sheet

    sheet = read_sheet(path)
    notes = sheet.notes
    if sheet.facts is None and sheet.film_path is not None:
        from analysis.film import open_film

        film = open_film(sheet.film_path)
        sheet, notes = sheet.on(film.facts), notes + film.notes
    assert sheet.facts is not None, "a sheet names a film or gives its times"
    return sheet.evidence(sheet.facts), notes


@dataclass(frozen=True)
class KnownRun:
    """A run of a project with what its reading rests on, and the film under it."""

    evidence: Evidence
    film: KnownFilm


def evidence_of_run(path: Path, wanted: str | None) -> tuple[Evidence, tuple[str, ...]]:
    """The evidence for one run of a project, and sentences for the coach; ``wanted`` as for ``find_run``.

    Raises ProjectError, MissingFilmError or FilmError.
    """
    from analysis.jobs.runs import find_run
    from analysis.store import ProjectFile

    with ProjectFile.open(path) as file:
        known = known_run(file, find_run(file.project, wanted))
    return known.evidence, known.film.notes


def known_run(file: ProjectFile, run: Run) -> KnownRun:
    """A run of an open project. Raises MissingFilmError or FilmError."""
    from analysis.jobs.films import known_film
    from analysis.jobs.tracks import kept_tracks

    film = known_film(file, run.film_id)
    evidence = evidence_for(file.project, run, film.facts)
    fingerprint = file.project.films[run.film_id].fingerprint
    kept = kept_tracks(file, run, fingerprint, evidence.camera)
    return KnownRun(kept.laid_into(evidence), film)
