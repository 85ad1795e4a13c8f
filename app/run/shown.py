"""What strip and picture show of a run; the same in every workspace."""

from __future__ import annotations

from analysis.values.film import Film
from analysis.values.run import Run
from app.film.strip import Stretch
from app.marking import events as tagging


def strip_events(run: Run | None) -> tuple[tuple[Stretch, ...], tuple[int, ...]]:
    """The contacts and the start's events, as the strip takes them."""
    if run is None:
        return (), ()
    contacts = tuple(
        Stretch(f.touchdown, f.toe_off, f.side, f.draft)
        for f in run.footfalls
        if f.touchdown is not None and f.toe_off is not None
    )
    return contacts, tuple(frame for frame, ref in tagging.events(run) if not ref.footfall_id)


def zero_s(run: Run | None, film: Film | None) -> float:
    """The film's time from which the run's times are counted."""
    if run is None or film is None or run.start.first_movement is None:
        return 0.0
    return film.facts.times.at(run.start.first_movement)
