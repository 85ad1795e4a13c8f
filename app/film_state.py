"""How it stands with the film of a run: there, on its way, gone, or another one in its place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from analysis.jobs.films import Likeness, likeness
from analysis.store import ProjectFile
from analysis.values.command import FilmEntry
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film
from analysis.values.words import tr
from app.film_shelf import FilmShelf, Order


@dataclass(frozen=True)
class FilmState:
    """``film``: it is there. ``trouble``: why it can't be shown. ``order``: it is on its way.

    ``other``: another file lies in its place whose pictures come at the same times; whether it is the same
    film, encoded anew, only the coach can say.
    """

    film: Film | None = None
    trouble: str = ""
    order: Order | None = None
    other: Film | None = None


def order_of(entry: FilmEntry, file: ProjectFile) -> Order:
    """What to ask the shelf for. Raises MissingFilmError where the file is not there."""
    return Order.of(entry, file.find_film(entry.id))


def film_state(entry: FilmEntry | None, file: ProjectFile | None, shelf: FilmShelf) -> FilmState:
    """How it stands with a film of the project; it is asked for where it is not there yet."""
    if entry is None or file is None:
        return FilmState()
    try:
        order = order_of(entry, file)
        film = shelf.get(order)
    except CinderlaneError as error:
        return FilmState(trouble=str(error))
    if film is None:
        return FilmState(order=order)
    like = likeness(film, entry, file)
    if like is Likeness.SAME:
        return FilmState(film=film)
    return FilmState(trouble=wrong_film(film, like), other=film if like is Likeness.SAME_TIMES else None)


def wrong_film(film: Film, like: Likeness) -> str:
    """What is said of a film that is not the one of the marks."""
    name = Path(film.path).name
    if like is Likeness.SAME_TIMES:
        return tr(
            "{film} is not the file that this run was marked on, but its pictures come at the same times. "
            "Is it the same film, encoded anew or copied by a messenger? Nothing marked is lost."
        ).format(film=name)
    return tr(
        "{film} is not the film that this run was marked on: its pictures come at other times. Nothing "
        "marked is lost. Put the right film in its place, or say with File, Find the film where it lies."
    ).format(film=name)
