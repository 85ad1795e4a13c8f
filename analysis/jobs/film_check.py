"""The film check in a process of its own, at the lowest priority, so that stepping goes on undisturbed."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from analysis.film.check import check_film
from analysis.film.repeats import repeated_pictures, repeats_sentence
from analysis.film.uneven_repeats import uneven_repeats, uneven_sentence
from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.film import Film, RateWitness
from analysis.values.finding import Finding
from analysis.values.words import tr


class FilmCheckJob(ChildJob[tuple[Finding, ...]]):
    """Checks one film, as it was opened, with ``every``; the file is opened once more beside."""

    def __init__(self, film: Film, every: int = 1) -> None:
        excuses = Excuses(
            tr("The film is still being checked."),
            tr("The check of the film was stopped."),
            tr("The film could not be checked: the work beside ended before its time."),
        )
        super().__init__("findings.json", excuses)
        rate = film.capture_rate_hz if film.rate_said_by is RateWitness.COACH else None
        self._start("analysis.jobs.film_check", Path(film.path), rate, every)

    def _read(self, found: Path) -> tuple[Finding, ...]:
        return tuple(Finding(**one) for one in json.loads(found.read_text(encoding="utf-8")))


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
    others = check_film(film, stopped=stopped).findings
    if said:  # by the repeats' own rate nothing is good to what the file's rate says
        others = tuple(one for one in others if one.topic not in ("rate", "spacing"))
    return said + others


def _check(wish: Wish) -> None:
    """The child's work: check, and write the findings."""
    found = findings_of(wish.film(), wish.orphaned)
    wish.found.write_text(json.dumps([asdict(one) for one in found]), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _check))
