"""Films that were opened lately: to open one again costs nothing while its file is the same."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from analysis.film import open_film
from analysis.film.reader import BUDGET_BYTES
from analysis.values.command import FilmEntry
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film

FILMS = 64
FRAMES = 300_000
"""So many films and frames of all of them are kept; they are lists of times, some 200 bytes a frame."""

Outcome = Film | CinderlaneError
Key = tuple[str, int, int, float | None, int]


@dataclass(frozen=True)
class Order:
    """A film that is wanted: its file, the coach's filming rate, and how often every picture stands in it."""

    path: Path
    coach_rate_hz: float | None = None
    every: int = 1

    @classmethod
    def of(cls, entry: FilmEntry, path: Path) -> Order:
        """A film of a project, where it lies now, in the way in which the coach had it read."""
        return cls(path, entry.coach_rate_hz, entry.every or 1)


class FilmShelf(QObject):
    """Opens films on the spot and keeps what is known of the last ones, whatever project is open.

    Attributes: ``memory_bytes`` what all films on show together may keep in memory.
    Signals:
        came(Order): a film that was not there when asked for is there now, or can't be.
        progressed(Order, float): the share of a film's file that was read.
    """

    came = Signal(object)
    progressed = Signal(object, float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.memory_bytes = BUDGET_BYTES
        self._outcomes: dict[Key, Outcome] = {}

    def get(self, order: Order, *, urgent: bool = True) -> Film | None:
        """The film; None where it is on its way and ``came`` will tell. Raises CinderlaneError.

        ``urgent``: the coach waits for it.
        """
        key = _key(order)
        found = self._outcomes.pop(key, None) if key is not None else None
        if key is None:
            found = _outcome(order)  # no file: opening says what is wrong, at once
        elif found is None:
            found = self._fetch(order, key, urgent=urgent)
            if found is None:
                return None
        if key is not None:
            self._put(key, found)
        if isinstance(found, CinderlaneError):
            raise found
        return found

    def cancel(self, order: Order) -> None:
        """Nobody waits for that film any more."""

    @property
    def has_room(self) -> bool:
        """Whether a film more would push out none of those that are kept."""
        return len(self._outcomes) < FILMS and self._frames() < FRAMES

    def shutdown(self) -> None:
        """Stop whatever goes on."""

    def _fetch(self, order: Order, key: Key, *, urgent: bool) -> Outcome | None:
        return _outcome(order)

    def _put(self, key: Key, outcome: Outcome) -> None:
        self._outcomes[key] = outcome  # the newest stands last
        while len(self._outcomes) > 1 and (len(self._outcomes) > FILMS or self._frames() > FRAMES):
            del self._outcomes[next(iter(self._outcomes))]

    def _frames(self) -> int:
        return sum(film.frames for film in self._outcomes.values() if isinstance(film, Film))


def _outcome(order: Order) -> Outcome:
    try:
        return open_film(order.path, order.coach_rate_hz, order.every)
    except CinderlaneError as error:
        return error


def _key(order: Order) -> Key | None:
    try:
        state = order.path.stat()
    except OSError:
        return None
    return str(order.path), state.st_mtime_ns, state.st_size, order.coach_rate_hz, order.every
