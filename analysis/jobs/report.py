"""Pages and tables of runs as files, each written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from analysis.jobs.evidence import KnownRun, known_run
from analysis.jobs.export import write_whole, writing
from analysis.jobs.pictures import pictures
from analysis.jobs.runs import find_run, first_taggings
from analysis.plan.library import all_drills
from analysis.reading import read
from analysis.report.content import Page
from analysis.report.page import as_html
from analysis.report.page_athlete import athlete_content
from analysis.report.page_coach import coach_content
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


@dataclass(frozen=True)
class ReadRun:
    """A run with what its reading rests on, its film and its reading."""

    known: KnownRun
    reading: Reading


def told_of(
    project: Project,
    evidence: Evidence,
    reading: Reading,
    film: Film | None,
    notes: tuple[str, ...] = (),
    others: Iterable[Reading] = (),
) -> Told:
    """What a page about a run is made of, without the frames of its strip. ``notes``: about its film;
    ``others``: other runs of the project, of which those of the athlete count.
    """
    athlete_id = evidence.run.athlete_id
    day = last_day(project, athlete_id)
    mine = tuple(
        one
        for one in others
        if athlete_id is not None
        and one.about.athlete_id == athlete_id
        and one.about.run_id != evidence.run.id
    )
    return Told(evidence, reading, film, notes, day, all_drills(project.drills.values()), others=mine)


def with_strip(told: Told, strip: PostureStrip, jpegs: Mapping[int, bytes]) -> Told:
    """With the frames of the strip. ``jpegs``: the film's pictures by frame."""
    tiles = strip_tiles(strip, jpegs)
    why = strip.reason or tr("The film is not there, so its frames can't be shown.")
    if tiles:
        words = tr("Not shown, since nothing tells where the athlete is: {events}.")
        why = words.format(events=", ".join(strip.missing)) if strip.missing else ""
    return replace(told, tiles=tiles, no_tiles=why)


def write_pages(told: Told, coach: Path, athlete: Path) -> tuple[Path, ...]:
    """Write both pages about a run, each as HTML under the name given and as PDF beside it; the files.

    Raises CinderlaneError where one can't be made or written.
    """
    return write_all({coach: coach_content(told), athlete: athlete_content(told)})


def write_all(pages: Mapping[Path, Page]) -> tuple[Path, ...]:
    """Write pages as HTML under their names and as PDF beside; all are made before the first is written.

    Raises CinderlaneError where one can't be written.
    """
    from analysis.report.pdf import as_pdf  # fonts and what shapes them: only for who asks

    files: dict[Path, bytes] = {}
    for path, page in pages.items():
        files[path] = as_html(page).encode("utf-8", "replace")
        files[path.with_suffix(".pdf")] = as_pdf(page)
    for path, content in files.items():
        write_whole(path, content)
    return tuple(files)


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


def report(
    project: Path, wanted: str | None, folder: Path, say: Callable[[float], None] = lambda _: None
) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write pages and tables of a run, or of all runs of a project where none is named.

    Gives the files and sentences for the coach, among them which runs had to be left out. ``say``: told the
    share that is done. Raises CinderlaneError where nothing can be written; ``wanted`` as for ``find_run``.
    """
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
    with ProjectFile.open(project) as file:
        named = None if wanted is None else find_run(file.project, wanted)
        readable, notes = read_all(file, must=named)
        whole = file.project
    asked = [readable[named.id]] if named else list(readable.values())
    files: list[Path] = []
    told = []
    for done, one in enumerate(asked):
        told.append(_told(whole, one, [each.reading for each in readable.values()]))
        stem = folder / file_stem(one.known.evidence.run)
        files += write_pages(
            told[-1], stem.with_name(f"{stem.name}-coach.html"), stem.with_name(f"{stem.name}-athlete.html")
        )
        say((done + 1) / (len(asked) + 1))
    files += write_tables(told, folder) if told else ()
    say(1.0)
    return tuple(files), (*notes, *(note for one in told for note in one.film_notes))


def file_stem(run: Run) -> str:
    """The run's id as the beginning of a file's name."""
    return "".join(letter if letter.isalnum() or letter in "-_" else "_" for letter in run.id)


def read_all(file: ProjectFile, must: Run | None = None) -> tuple[dict[str, ReadRun], tuple[str, ...]]:
    """The runs of an open project that can be read, by their ids, and why others were left out.

    ``must``: raises CinderlaneError where this one can't be read; of others nothing is said then.
    """
    found: dict[str, ReadRun] = {}
    notes: list[str] = []
    for run in (
        first_taggings(file.project) if must is None else {must.id: must, **_mates(file, must)}.values()
    ):
        try:
            known = known_run(file, run)
            found[run.id] = ReadRun(known, read(known.evidence))
        except CinderlaneError as error:
            if must is not None and run.id == must.id:
                raise
            if must is None:
                notes.append(tr("{run} was left out. {why}").format(run=run.name, why=error))
    return found, tuple(notes)


def _mates(file: ProjectFile, run: Run) -> dict[str, Run]:
    """The other runs of the same athlete."""
    if run.athlete_id is None:
        return {}
    return {one.id: one for one in first_taggings(file.project) if one.athlete_id == run.athlete_id}


def _told(project: Project, one: ReadRun, readings: Iterable[Reading]) -> Told:
    known, film = one.known, one.known.film.film
    told = told_of(project, known.evidence, one.reading, film, known.film.notes, readings)
    strip = posture_strip(known.evidence, one.reading)
    jpegs = dict(pictures(film, sorted(frame.frame for frame in strip.frames))) if film else {}
    return with_strip(told, strip, jpegs)
