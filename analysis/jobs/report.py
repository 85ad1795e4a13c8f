"""Pages and tables of runs as files, each written whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from analysis.jobs.evidence import known_run
from analysis.jobs.export import write_whole, writing
from analysis.jobs.pictures import pictures
from analysis.jobs.runs import find_run, first_taggings
from analysis.plan.library import all_drills
from analysis.reading import read
from analysis.report.page import athlete_page, coach_page
from analysis.report.posture_strip import PostureStrip, posture_strip
from analysis.report.tables import tables, workbook
from analysis.report.tiles import strip_tiles
from analysis.report.told import Told, last_day
from analysis.store import ProjectFile
from analysis.values.errors import CinderlaneError
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import tr


def told_of(
    project: Project, evidence: Evidence, reading: Reading, film: Film | None, notes: tuple[str, ...] = ()
) -> Told:
    """What a page about a run is made of, without the frames of its strip. ``notes``: about its film."""
    day = last_day(project, evidence.run.athlete_id)
    return Told(evidence, reading, film, notes, day, all_drills(project.drills.values()))


def with_strip(told: Told, strip: PostureStrip, jpegs: Mapping[int, bytes]) -> Told:
    """With the frames of the strip. ``jpegs``: the film's pictures by frame."""
    tiles = strip_tiles(strip, jpegs)
    why = strip.reason or tr("The film is not there, so its frames can't be shown.")
    if tiles:
        words = tr("Not shown, since nothing tells where the athlete is: {events}.")
        why = words.format(events=", ".join(strip.missing)) if strip.missing else ""
    return replace(told, tiles=tiles, no_tiles=why)


def write_pages(told: Told, coach: Path, athlete: Path) -> None:
    """Write both pages about a run. Raises CinderlaneError where one can't be made or written."""
    pages = {coach: coach_page(told), athlete: athlete_page(told)}
    for path, text in pages.items():
        write_whole(path, text.encode("utf-8", "replace"))


def write_tables(told: Sequence[Told], folder: Path) -> tuple[Path, ...]:
    """Write every table of these runs as CSV and all together as XLSX; gives the files.

    Raises CinderlaneError where one can't be written.
    """
    found = tables(told)
    files = {folder / f"{table.name}.csv": table.csv.encode("utf-8", "replace") for table in found}
    files[folder / "tables.xlsx"] = workbook(found)
    for path, content in files.items():
        write_whole(path, content)
    return tuple(files)


def report(project: Path, wanted: str | None, folder: Path) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write pages and tables of a run, or of all runs of a project where none is named.

    Gives the files and sentences for the coach, among them which runs had to be left out. Raises
    CinderlaneError where nothing can be written; ``wanted`` as for ``find_run``.
    """
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
    with ProjectFile.open(project) as file:
        named = None if wanted is None else find_run(file.project, wanted)
        runs = [named] if named else first_taggings(file.project)
        told, notes = _all_told(file, runs, give_up=named is not None)
    files: list[Path] = []
    for one in told:
        stem = file_stem(one.evidence.run)
        files += [folder / f"{stem}-coach.html", folder / f"{stem}-athlete.html"]
        write_pages(one, *files[-2:])
    return (*files, *(write_tables(told, folder) if told else ())), notes


def file_stem(run: Run) -> str:
    """The run's id as the beginning of a file's name."""
    return "".join(letter if letter.isalnum() or letter in "-_" else "_" for letter in run.id)


def _all_told(file: ProjectFile, runs: Iterable[Run], *, give_up: bool) -> tuple[list[Told], tuple[str, ...]]:
    """``give_up``: raise where a run can't be read, instead of leaving it out."""
    told: list[Told] = []
    notes: list[str] = []
    for run in runs:
        try:
            told.append(_told(file, run))
        except CinderlaneError as error:
            if give_up:
                raise
            notes.append(tr("{run} was left out. {why}").format(run=run.name, why=error))
    return told, (*notes, *(note for one in told for note in one.film_notes))


def _told(file: ProjectFile, run: Run) -> Told:
    known = known_run(file, run)
    reading = read(known.evidence)
    told = told_of(file.project, known.evidence, reading, known.film.film, known.film.notes)
    strip = posture_strip(known.evidence, reading)
    film = known.film.film
    jpegs = dict(pictures(film, sorted(frame.frame for frame in strip.frames))) if film else {}
    return with_strip(told, strip, jpegs)
