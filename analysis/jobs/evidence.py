"""All that a reading of a run rests on, out of a project or a run sheet."""

from __future__ import annotations

from pathlib import Path

from analysis.values.evidence import Evidence
from analysis.values.resolving import evidence_for


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


def evidence_of_run(path: Path, wanted: str | None) -> tuple[Evidence, tuple[str, ...]]:
    """The evidence for one run of a project, and sentences for the coach; ``wanted`` as for ``find_run``.

    Raises ProjectError, MissingFilmError or FilmError.
    """
    from analysis.jobs.films import known_film
    from analysis.jobs.runs import find_run
    from analysis.jobs.tracks import kept_tracks
    from analysis.store import ProjectFile

    with ProjectFile.open(path) as file:
        run = find_run(file.project, wanted)
        film = known_film(file, run.film_id)
        evidence = evidence_for(file.project, run, film.facts)
        fingerprint = file.project.films[run.film_id].fingerprint
        kept = kept_tracks(file, run, fingerprint, evidence.camera)
    return kept.laid_into(evidence), film.notes
