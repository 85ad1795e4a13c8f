"""The facts of a project's film: from the film, or from the run sheet that named it; and whether a file is
the film that the marks were set on.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from analysis.store import ProjectFile
from analysis.values.command import FilmEntry
from analysis.values.errors import MissingFilmError
from analysis.values.film import Film, FilmFacts
from analysis.values.words import tr

SAME_TIME_S = 0.0015
"""Times that differ by less are the same: some containers round to the millisecond."""


class Likeness(Enum):
    """How a film compares with the one that a project knows."""

    SAME = "same"  # the very file, or nothing is known of it
    SAME_TIMES = "same times"  # another file; as many pictures, at the same times
    OTHER = "other"


def likeness(film: Film, entry: FilmEntry, file: ProjectFile) -> Likeness:
    """Whether marks on ``entry`` may be shown on ``film``. Raises ProjectError where the file can't be read.

    Held against the times that the project keeps of the film; where it keeps none, against those stored
    beside the frames that were marked.
    """
    if not entry.fingerprint or film.fingerprint == entry.fingerprint:
        return Likeness.SAME
    if entry.facts is not None:
        known, found = entry.facts.times.seconds, film.facts.times.seconds
        same = len(known) == len(found) and bool(np.all(np.abs(known - found) < SAME_TIME_S))
        return Likeness.SAME_TIMES if same else Likeness.OTHER
    recorded = file.recorded_pts(entry.id)
    same = bool(recorded) and all(
        0 <= frame < film.frames and film.index[frame].pts == pts for frame, pts in recorded.items()
    )
    return Likeness.SAME_TIMES if same else Likeness.OTHER


@dataclass(frozen=True)
class KnownFilm:
    """Facts of a film, and sentences for the coach about where they come from.

    ``film``: None where it is gone, and ``why_gone`` says where it was looked for.
    """

    facts: FilmFacts
    notes: tuple[str, ...]
    film: Film | None = None
    why_gone: str = ""

    def opened(self) -> Film:
        """The film itself. Raises MissingFilmError where it is gone."""
        if self.film is None:
            raise MissingFilmError(self.why_gone)
        return self.film


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
        said = tr("The times of the run sheet are used. {why}").format(why=error)
        return KnownFilm(entry.facts, (said,), why_gone=str(error))
    film = open_film(path, entry.coach_rate_hz, entry.every or 1)
    notes = film.notes
    like = likeness(film, entry, file)
    if like is not Likeness.SAME:
        notes += (
            tr("{name} is not the film that the run was marked on. Check the marks.").format(name=path.name),
        )
    return KnownFilm(film.facts, notes, film)
