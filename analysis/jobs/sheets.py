"""A run sheet into a project, and a run of a project as a sheet."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from analysis.jobs.films import known_film
from analysis.sheet import Sheet, read_sheet, write_sheet
from analysis.store import ProjectFile
from analysis.values.camera import Lens
from analysis.values.camera_place import FilmCamera
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import FilmError, SheetError
from analysis.values.film import Film, FilmFacts, RateSource
from analysis.values.project import Project, run_changes
from analysis.values.resolving import run_as_seen, tagging_of
from analysis.values.run import Run
from analysis.values.tagging import TaggingSample
from analysis.values.words import tr

_SAME_RATE = 0.01
"""Rates closer than this share are one rate: written times are rounded."""


@dataclass(frozen=True)
class Added:
    """A command that adds a run, and what to say. ``pts_of``: the film's times, for ``commit``."""

    command: Command
    run_id: str
    notes: tuple[str, ...]
    pts_of: Callable[[str, int], int | None]


def adding(project: Project, sheet: Sheet) -> Added:
    """The command that adds a sheet's run, and its film and athlete where the project does not know them yet.

    Raises MissingFilmError or FilmError where the film is needed and can't be opened, SheetError where it
    does not hold a frame of the sheet.
    """
    film, notes = _opened(sheet)
    facts = sheet.facts if film is None else film.facts
    if facts is not None:
        sheet = sheet.on(facts)
    entry, film_changes = _entry(project, sheet, film)
    athlete_id, athlete_changes = _athlete(project, sheet)
    camera_changes = _camera(project, sheet, entry)
    tagging_changes, tagging_said = _tagging(project, sheet)
    run = replace(sheet.run, id=uuid.uuid4().hex, film_id=entry.id, athlete_id=athlete_id)
    if not run.name:
        run = replace(run, name=Path(entry.path).stem)
    others = (*film_changes, *camera_changes, *athlete_changes, *tagging_changes)
    changes = (*others, *run_changes(run))

    def pts_of(film_id: str, frame: int) -> int | None:
        known = film is not None and film_id == entry.id and 0 <= frame < film.frames
        return film.index[frame].pts if film is not None and known else None

    return Added(
        Command(tr("Add a run sheet"), changes), run.id, (*sheet.notes, *notes, *tagging_said), pts_of
    )


def add_sheet(project_path: Path, sheet_path: Path) -> Added:
    """Add a sheet to a project file, which is made where it is missing.

    Raises SheetError, ProjectError, MissingFilmError or FilmError; the project is then as it was.
    """
    sheet = read_sheet(sheet_path)
    if project_path.exists():
        with ProjectFile.open(project_path) as file:
            added = adding(file.project, sheet)
            file.commit(added.command, added.pts_of)
        return added
    added = adding(Project(), sheet)
    with ProjectFile.create(project_path) as file:
        try:
            file.commit(added.command, added.pts_of)
        except BaseException:
            file.close()
            project_path.unlink(missing_ok=True)
            raise
    return added


def sheet_of(file: ProjectFile, run: Run, folder: Path) -> tuple[dict[str, Any], tuple[str, ...]]:
    """A run of a project as a sheet that lies in ``folder``, and sentences for the coach.

    Without its film the sheet carries the times that the film came with, or none.
    """
    project = file.project
    entry = project.films[run.film_id]
    notes: tuple[str, ...]
    try:
        known = known_film(file, run.film_id)
        facts, notes = known.facts, known.notes
    except FilmError as error:
        facts, notes = None, (str(error),)
    seen = run_as_seen(project, run)
    more = (seen.camera, seen.lens, seen.tagging)
    return write_sheet(seen.run, entry, facts, seen.athlete, folder, *more), notes


def lens_of_sheet(path: Path) -> Lens:
    """The lens that a run sheet knows of its film. Raises SheetError where it knows none."""
    lens = read_sheet(path).lens
    if lens is None:
        raise SheetError(
            tr("The run sheet {path} holds no lens. Measure it in the window, or leave --lens out.").format(
                path=path.name
            )
        )
    return lens


def _opened(sheet: Sheet) -> tuple[Film | None, tuple[str, ...]]:
    """The sheet's film at the rate that the sheet's times tell; None where the times have to do."""
    from analysis.film import open_film

    if sheet.film_path is None:
        return None, ()
    try:
        film = open_film(sheet.film_path)
    except FilmError as error:
        if sheet.facts is None:
            raise
        return None, (tr("The run was added with the times of its sheet. {why}").format(why=error),)
    if sheet.facts is None:
        return film, film.notes
    said, found = _mean_rate(sheet.facts), _mean_rate(film.facts)
    if said is not None and found is not None and abs(said / found - 1.0) > _SAME_RATE:
        film = open_film(sheet.film_path, said)
    if sheet.facts.frames != film.frames:
        differing = tr("The sheet counts {sheet} frames, the film has {film}. Check the marks.")
        return film, (*film.notes, differing.format(sheet=sheet.facts.frames, film=film.frames))
    return film, film.notes


def _mean_rate(facts: FilmFacts) -> float | None:
    """Frames per second of capture time; whole where rounded times hide a whole number."""
    seconds = facts.times.seconds
    if len(seconds) < 2:
        return None
    rate = (len(seconds) - 1) / float(seconds[-1])
    return float(round(rate)) if abs(round(rate) / rate - 1.0) < 1e-3 else rate


def _entry(project: Project, sheet: Sheet, film: Film | None) -> tuple[FilmEntry, tuple[Change, ...]]:
    path = "" if sheet.film_path is None else str(sheet.film_path)
    if film is None:
        wanted = FilmEntry("", path, "", None, sheet.facts)
    else:
        rate = film.capture_rate_hz if film.rate_source is RateSource.COACH else None
        wanted = FilmEntry("", path, film.fingerprint, rate)
    for known in project.films.values():
        same = replace(known, id="") == wanted
        if same or (sheet.facts is None and film is not None and known.fingerprint == film.fingerprint):
            return known, ()
    entry = replace(wanted, id=uuid.uuid4().hex)
    return entry, (Change(Kind.FILM, entry.id, None, entry),)


def _camera(project: Project, sheet: Sheet, entry: FilmEntry) -> tuple[Change, ...]:
    """What the sheet knows of its film's camera, where the project knows nothing of it yet."""
    if (sheet.camera is None and sheet.lens is None) or entry.id in project.film_cameras:
        return ()
    camera = FilmCamera(entry.id, sheet.camera, sheet.lens)
    return (Change(Kind.FILM_CAMERA, entry.id, None, camera),)


def _tagging(project: Project, sheet: Sheet) -> tuple[tuple[Change, ...], tuple[str, ...]]:
    """The sheet's tagging error, where the project knows none yet; what is said where it knows another.

    A project's own comes first: the sheet's may have been written out of the very same taggings.
    """
    error, known = sheet.tagging, tagging_of(project)
    if error is None or error == known:
        return (), ()
    if known is not None:
        words = tr(
            "The sheet's own tagging error, {sheet:.1f} ms, was left out: this project has one, {own:.1f} ms."
        )
        return (), (words.format(sheet=1e3 * error.s_s, own=1e3 * known.s_s),)
    sample = TaggingSample(uuid.uuid4().hex, "", error)
    return (Change(Kind.TAGGING, sample.id, None, sample),), ()


def _athlete(project: Project, sheet: Sheet) -> tuple[str | None, tuple[Change, ...]]:
    if sheet.athlete is None:
        return None, ()
    for known in project.athletes.values():
        if replace(known, id="") == replace(sheet.athlete, id=""):
            return known.id, ()
    athlete = replace(sheet.athlete, id=uuid.uuid4().hex)
    return athlete.id, (Change(Kind.ATHLETE, athlete.id, None, athlete),)
