"""Pages and tables of runs as files, each written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from analysis.jobs.export import write_whole, writing
from analysis.jobs.pictures import pictures
from analysis.jobs.read_runs import ReadRun, read_all
from analysis.jobs.report_names import file_names
from analysis.jobs.runs import find_run
from analysis.plan.library import all_drills
from analysis.report.content import Page
from analysis.report.page import as_html
from analysis.report.page_athlete import athlete_content
from analysis.report.page_coach import coach_content
from analysis.report.page_season import season_content
from analysis.report.page_squad import squad_content
from analysis.report.posture_strip import PostureStrip, posture_strip
from analysis.report.season import Season
from analysis.report.tables import tables, workbook
from analysis.report.tiles import strip_tiles
from analysis.report.told import Told, last_day
from analysis.store import ProjectFile
from analysis.values.consent import why_not_shared
from analysis.values.errors import CinderlaneError
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.words import tr


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
    age = evidence.athlete.age if evidence.athlete else None
    shared = not why_not_shared(project.consents.get(athlete_id or ""), age)
    drills = all_drills(project.drills.values())
    published = project.published_errors
    return Told(
        evidence, reading, film, notes, day, drills, others=mine, may_share=shared, published=published
    )


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


def write_tables(told: Sequence[Told], folder: Path, seasons: Sequence[Season] = ()) -> tuple[Path, ...]:
    """Write every table of these runs and seasons as CSV and all together as XLSX; gives the files.

    Raises CinderlaneError where one can't be written.
    """
    found = tables(told, seasons)
    files = {folder / f"{table.name}.csv": table.csv.encode("utf-8", "replace") for table in found}
    files[folder / "tables.xlsx"] = workbook(found)
    for path, content in files.items():
        write_whole(path, content)
    return tuple(files)


def seasons_of(project: Project, read_runs: Mapping[str, ReadRun]) -> tuple[Season, ...]:
    """Every athlete of a project who has a run, a time from a gate or a day planned, by the code."""
    drills = all_drills(project.drills.values())
    found = []
    for athlete in sorted(project.athletes.values(), key=lambda one: (one.code, one.id)):
        mine = [one for one in read_runs.values() if one.reading.about.athlete_id == athlete.id]
        gates = tuple(one for one in project.gates.values() if one.athlete_id == athlete.id)
        plans = tuple(day for day in project.days.values() if athlete.id in day.athlete_ids)
        bands = mine[-1].known.evidence.bands if mine else None
        if mine or gates or plans:
            readings = tuple(one.reading for one in mine)
            filmed, published = _filmed(project, athlete.id), project.published_errors
            known = readings, gates, bands or (), plans, drills, filmed, published
            found.append(Season(athlete.id, athlete.code, *known))
    return tuple(found)


def _filmed(project: Project, athlete_id: str) -> dict[tuple[str, str], int]:
    found: dict[tuple[str, str], int] = {}
    for film in project.drill_films.values():
        if project.runs[film.run_id].athlete_id == athlete_id:
            place = film.day_id, film.drill_id
            found[place] = found.get(place, 0) + len(film.reps)
    return found


def write_seasons(seasons: Sequence[Season], folder: Path) -> tuple[Path, ...]:
    """Write the squad's page and one for each athlete's season, as HTML and PDF; gives the files.

    Raises CinderlaneError where one can't be made or written.
    """
    pages = {folder / "squad.html": squad_content(seasons)}
    names = file_names((one.athlete_id, (one.code,)) for one in seasons)
    pages |= {folder / f"season-{names[one.athlete_id]}.html": season_content(one) for one in seasons}
    return write_all(pages)


def report(
    project: Path, wanted: str | None, folder: Path, say: Callable[[float], None] = lambda _: None
) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write pages and tables of a run, or of all runs of a project where none is named, then with a page on
    the squad and on each athlete's season.

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
    seasons = [
        one for one in seasons_of(whole, readable) if named is None or one.athlete_id == named.athlete_id
    ]
    names = file_names(_called(one) for one in asked)
    files: list[Path] = []
    told: list[Told] = []
    checked: dict[str, tuple[Finding, ...]] = {}
    for done, one in enumerate(asked, start=1):
        told.append(_told(whole, one, [each.reading for each in readable.values()], checked))
        stem = names[one.known.evidence.run.id]
        files += write_pages(told[-1], folder / f"{stem}-coach.html", folder / f"{stem}-athlete.html")
        say(done / (len(asked) + 2))
    if named is None and seasons:
        files += write_seasons(seasons, folder)
    if told or seasons:
        files += write_tables(told, folder, seasons)
    say(1.0)
    return tuple(files), (*notes, *(note for one in told for note in one.film_notes))


def report_run(project: Path, wanted: str, coach: Path) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write both pages of a run, the coach's under the name ``coach``, the athlete's beside it; the files and
    sentences for the coach. Raises CinderlaneError; ``wanted`` as for ``find_run``.
    """
    with ProjectFile.open(project) as file:
        run = find_run(file.project, wanted)
        readable, _ = read_all(file, must=run)
        whole = file.project
    told = _told(whole, readable[run.id], [each.reading for each in readable.values()], {})
    athlete = coach.with_name(f"{coach.stem}-athlete{coach.suffix}")
    return write_pages(told, coach, athlete), told.film_notes


def _called(one: ReadRun) -> tuple[str, tuple[str, ...]]:
    run, athlete = one.known.evidence.run, one.known.evidence.athlete
    return run.id, (run.conditions.day, athlete.code if athlete else "", run.name)


def _told(
    project: Project, one: ReadRun, readings: Iterable[Reading], checked: dict[str, tuple[Finding, ...]]
) -> Told:
    """``checked``: what was found in films, by their ids; each is checked once."""
    known, film = one.known, one.known.film.film
    told = told_of(project, known.evidence, one.reading, film, known.film.notes, readings)
    film_id = known.evidence.run.film_id
    if film is not None and film_id not in checked:
        checked[film_id] = _checked(film)
    told = replace(told, findings=checked.get(film_id, ()))
    strip = posture_strip(known.evidence, one.reading)
    jpegs = dict(pictures(film, sorted(frame.frame for frame in strip.frames))) if film else {}
    return with_strip(told, strip, jpegs)


def _checked(film: Film) -> tuple[Finding, ...]:
    from analysis.jobs.film_check import findings_of  # what looks at pictures: only for who asks

    try:
        return findings_of(film)
    except CinderlaneError:  # the page says the rest
        return ()
