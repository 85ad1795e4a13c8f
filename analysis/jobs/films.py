"""The facts of a project's film: from the film, or from the run sheet that named it."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.store import ProjectFile
from analysis.values.errors import MissingFilmError
from analysis.values.film import FilmFacts
from analysis.values.words import tr


@dataclass(frozen=True)
class KnownFilm:
    """Facts of a film, and sentences for the coach about where they come from."""

    facts: FilmFacts
    notes: tuple[str, ...]


def known_film(file: ProjectFile, film_id: str) -> KnownFilm:
    """Open a film of the project; where it is gone, take the times that its run sheet gave.

    Raises MissingFilmError where there are none either, FilmError where the film can't be used.
    """
    from analysis.film import open_film  # the decoder: not needed to list runs

    entry = file.project.films[film_id]
    try:
        path = file.find_film(film_id)
    except MissingFilmError as error:
        if entry.facts is None:
            raise
        return KnownFilm(entry.facts, (tr("The times of the run sheet are used. {why}").format(why=error),))
    film = open_film(path, entry.coach_rate_hz)
    notes = film.notes
    if entry.fingerprint and film.fingerprint != entry.fingerprint:
        notes += (
            tr("{name} is not the film that the run was marked on. Check the marks.").format(name=path.name),
        )
    return KnownFilm(film.facts, notes)
