"""Films that were opened lately: to open one again costs nothing while its file is the same."""

from __future__ import annotations

from pathlib import Path

from analysis.film import open_film
from analysis.values.film import Film

ROOM = 8
"""How many are kept; they are lists of frame times, not pictures."""

_Key = tuple[str, int, int, float | None]


class FilmShelf:
    """Opens films and keeps what is known of the last few."""

    def __init__(self) -> None:
        self._films: dict[_Key, Film] = {}

    def open(self, path: Path, coach_rate_hz: float | None) -> Film:
        """The film in a file, filmed at so many frames a second where the coach said so. Raises FilmError."""
        key = _key(path, coach_rate_hz)
        film = self._films.pop(key, None) if key is not None else None
        if film is None:
            film = open_film(path, coach_rate_hz)
        if key is not None:
            self._films[key] = film  # the newest stands last
            while len(self._films) > ROOM:
                del self._films[next(iter(self._films))]
        return film

    def clear(self) -> None:
        """Forget them all."""
        self._films.clear()


def _key(path: Path, coach_rate_hz: float | None) -> _Key | None:
    try:
        state = path.stat()
    except OSError:
        return None  # opening it says what is wrong
    return str(path), state.st_mtime_ns, state.st_size, coach_rate_hz
