"""Facts about a run and its film that the coach states: from what was typed to a command."""

from __future__ import annotations

import math
from dataclasses import replace
from uuid import uuid4

from analysis.values.command import Change, Command, FilmEntry, Kind, command
from analysis.values.errors import FilmError, MarkError
from analysis.values.film import Film, FilmFacts, FrameNumber
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import tr
from app.marking.placing import change_run

LEAST_RATE_HZ, MOST_RATE_HZ = 1.0, 2000.0


MOST_FRAMES_KEPT = 50_000
"""Times of longer films are not kept: every edit would have to read them again."""


def facts_to_keep(film: Film) -> FilmFacts | None:
    """What is kept of a film in the project, so that its runs read when the film is gone."""
    return film.facts if film.frames <= MOST_FRAMES_KEPT else None


def check_rate(rate_hz: float | None) -> None:
    """Raise FilmError for a rate at which no camera films."""
    if rate_hz is not None and not LEAST_RATE_HZ <= rate_hz <= MOST_RATE_HZ:
        raise FilmError(
            tr("A film is shot at 1 to 2000 frames a second. Write the camera's setting, such as 240.")
        )


def set_filming_rate(entry: FilmEntry, rate_hz: float | None, film: Film) -> Command:
    """At how many frames a second a film was shot; None: as the film says. ``film``: opened at that rate."""
    told = replace(entry, coach_rate_hz=rate_hz, facts=facts_to_keep(film))
    return command(tr("Filming rate"), (Change(Kind.FILM, entry.id, entry, told),))


def find_film(entry: FilmEntry, film: Film, *, same: bool) -> Command:
    """A film lies somewhere else now. ``same``: it is the one that was marked; else that is still to be said,
    and its fingerprint stays what it was.
    """
    moved = replace(entry, path=film.path)
    if same:
        moved = replace(moved, fingerprint=film.fingerprint, facts=facts_to_keep(film))
    return command(tr("Find the film"), (Change(Kind.FILM, entry.id, entry, moved),))


def new_run(project: Project, like: Run, frames: int) -> tuple[Command, str]:
    """Another run on the same film, with the same marks of place; its id is returned too."""
    others = sum(run.film_id == like.film_id for run in project.runs.values())
    stem = like.name.rsplit(" ", 1)[0] if like.name.endswith(f" {others}") else like.name
    run = Run(
        uuid4().hex,
        like.film_id,
        f"{stem} {others + 1}",
        FrameNumber(0),
        FrameNumber(frames - 1),
        direction=like.direction,
        athlete_id=like.athlete_id,
        camera_distance_m=like.camera_distance_m,
        report_at_m=like.report_at_m,
    )
    marks = [replace(mark, id=uuid4().hex) for mark in like.marks]
    changes = [Change(Kind.RUN, run.id, None, run)]
    changes += [Change(Kind.MARK, mark.id, None, mark, run.id) for mark in marks]
    return command(tr("New run on this film"), changes), run.id


def report_at(run: Run, text: str) -> Command:
    """Where splits and speeds are read, typed as "5, 10". Raises MarkError where it is no list of metres."""
    parts = [part for part in text.replace(";", ",").replace("m", " ").split(",") if part.strip()]
    try:
        places = tuple(sorted({float(part) for part in parts}))
    except ValueError:
        places = ()
    if not places or not all(math.isfinite(x) and 0 < x <= 100 for x in places):
        raise MarkError(tr("Write the distances in metres, with commas between them, such as 5, 10."))
    return change_run(run, replace(run, report_at_m=places), tr("Where splits are read"))
