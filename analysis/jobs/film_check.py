"""The film check in a process of its own, at the lowest priority, so that stepping goes on undisturbed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

from analysis.film import open_film
from analysis.film.check import Finding, check_film
from analysis.film.repeats import repeated_pictures, repeats_sentence
from analysis.film.uneven_repeats import uneven_repeats, uneven_sentence
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film, RateSource

_ROOT = Path(__file__).resolve().parents[2]


class FilmCheckJob:
    """Checks one film, from now on. Nothing here waits; ask ``poll`` now and then, ``close`` it in the end.

    ``film``: as it was opened, with ``every``; the file is opened once more beside.
    """

    def __init__(self, film: Film, every: int = 1) -> None:
        rate = film.capture_rate_hz if film.rate_source is RateSource.COACH else None
        wish = {"film": film.path, "rate": rate, "every": every, "parent": os.getpid()}
        idle = getattr(subprocess, "IDLE_PRIORITY_CLASS", 0)  # Windows alone has it
        self._process = subprocess.Popen(
            [sys.executable, "-m", "analysis.jobs.film_check", json.dumps(wish)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            creationflags=idle,
            cwd=_ROOT,
            encoding="utf-8",
        )
        self._found: tuple[Finding, ...] | None = None

    def poll(self) -> tuple[Finding, ...] | None:
        """The findings, once they are there; none at all where the film could not be checked."""
        if self._found is None and self._process.poll() is not None:
            said = self._process.stdout.read() if self._process.stdout is not None else ""
            self._found = ()
            with suppress(ValueError, TypeError):
                self._found = tuple(Finding(**one) for one in json.loads(said))
        return self._found

    def close(self) -> None:
        """Stop it where it runs. May be called twice."""
        if self._process.poll() is None:
            self._process.kill()
        self._process.wait()
        if self._process.stdout is not None:
            self._process.stdout.close()


def findings_of(film: Film, stopped: Callable[[], bool] | None = None) -> tuple[Finding, ...]:
    """What the check says of a film, repeated pictures first: they make every time wrong.

    ``stopped``: asked between frames whether to give up. Raises FilmError or MissingFilmError.
    """
    every = repeated_pictures(film, stopped)
    found = [Finding("repeats", False, float(every), repeats_sentence(film, every))]
    if every == 1:
        uneven = uneven_repeats(film, stopped)
        found = [Finding("uneven repeats", False, float(uneven.longest), uneven_sentence(film, uneven))]
    said = tuple(one for one in found if one.sentence)
    return said + check_film(film, stopped=stopped).findings


def main(arguments: Sequence[str]) -> int:
    """The child's work: check, and write the findings as JSON."""
    wish = json.loads(arguments[0])
    if hasattr(os, "nice"):
        os.nice(19)

    def orphaned() -> bool:
        return os.name == "posix" and os.getppid() != wish["parent"]

    try:
        found = findings_of(open_film(wish["film"], wish["rate"], wish["every"]), orphaned)
    except CinderlaneError:
        return 1
    json.dump([asdict(one) for one in found], sys.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
