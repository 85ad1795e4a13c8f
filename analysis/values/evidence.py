"""All that a reading rests on, in one value."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.film import FilmFacts
from analysis.values.run import Athlete, Run


@dataclass(frozen=True)
class Evidence:
    """A run, the film it was marked on, and the athlete as on that day."""

    run: Run
    film: FilmFacts
    athlete: Athlete | None = None
