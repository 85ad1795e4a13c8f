"""Pages and tables of runs as files, each written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from analysis.jobs.export import Written, write_whole, writing
from analysis.jobs.hiding import check_shown, hidden_faces, why_not_to_show
from analysis.jobs.pictures import pictures
from analysis.jobs.read_runs import ReadRun, left_out, read_all
from analysis.jobs.report_names import file_names, names_of_runs
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
from analysis.report.told import Told, plan_after, without_names
from analysis.store import ProjectFile
from analysis.values.audience import Audience
from analysis.values.consent import why_not_shared
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.words import one_line, tr

_USUAL = Audience()


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
    plans = [day for day in project.days.values() if athlete_id in day.athlete_ids]
    day = plan_after(plans, evidence.run.conditions.day)
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


def with_strip(told: Told, strip: PostureStrip, jpegs: Mapping[int, bytes], why_bare: str = "") -> Told:
    """With the frames of the strip. ``jpegs``: the film's pictures by frame; ``why_bare``: why there is none,
    where the film is there.
    """
    tiles = strip_tiles(strip, jpegs)
    why = why_bare or strip.reason or tr("The film is not there, so its frames can't be shown.")
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
        plans = tuple(
            day.done_by(athlete.id) for day in project.days.values() if athlete.id in day.athlete_ids
        )
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
    project: Path,
    wanted: str | None,
    folder: Path,
    audience: Audience = _USUAL,
    say: Callable[[float], None] = lambda _: None,
) -> Written:
    """Write pages and tables of a run, or of all runs of a project where none is named, then with a page on
    the squad and on each athlete's season. For the public only pages of runs are written: nothing else makes
    sense without names.

    ``say``: told the share that is done. Raises CinderlaneError where nothing can be written; ``wanted`` as
    for ``find_run``.
    """
    with ProjectFile.open(project) as file:
        named = None if wanted is None else find_run(file.project, wanted)
        if named is not None:
            check_shown(file.project, [named], audience)
        readable, unread = read_all(file, must=named)
        whole = file.project
    asked, refused = _may_be_shown(whole, [readable[named.id]] if named else readable.values(), audience)
    seasons = [
        one for one in seasons_of(whole, readable) if named is None or one.athlete_id == named.athlete_id
    ]
    if audience.public:
        seasons = []  # names are what they are made of
    if not asked and not seasons:
        return Written((), (), (*unread, *refused)).any_of_it()
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
    names = names_of_runs(whole, [one.known.evidence.run for one in asked], audience)
    readings = [each.reading for each in readable.values()]
    maker = _Maker(whole, readings, audience)
    files: list[Path] = []
    told: list[Told] = []
    for done, one in enumerate(asked, start=1):
        told.append(maker.told(one))
        stem = names[one.known.evidence.run.id]
        files += write_pages(told[-1], folder / f"{stem}-coach.html", folder / f"{stem}-athlete.html")
        say(done / (len(asked) + 2))
    if named is None and seasons:
        files += write_seasons(seasons, folder)
    if not audience.public:
        files += write_tables(told, folder, seasons)
    say(1.0)
    return Written(tuple(files), tuple(maker.notes), (*unread, *refused))


def report_run(
    project: Path, wanted: str, coach: Path, audience: Audience = _USUAL
) -> tuple[tuple[Path, ...], tuple[str, ...]]:
    """Write both pages of a run, the coach's under the name ``coach``, the athlete's beside it; the files and
    sentences for the coach. Raises CinderlaneError; ``wanted`` as for ``find_run``.
    """
    with ProjectFile.open(project) as file:
        run = find_run(file.project, wanted)
        check_shown(file.project, [run], audience)
        readable, _ = read_all(file, must=run)
        whole = file.project
    maker = _Maker(whole, [each.reading for each in readable.values()], audience)
    told = maker.told(readable[run.id])
    athlete = coach.with_name(f"{coach.stem}-athlete{coach.suffix}")
    return write_pages(told, coach, athlete), tuple(maker.notes)


def _may_be_shown(
    project: Project, runs: Iterable[ReadRun], audience: Audience
) -> tuple[list[ReadRun], tuple[str, ...]]:
    """The runs that an audience may see, and why others were left out."""
    shown, notes = [], []
    for one in runs:
        run = one.known.evidence.run
        if why := why_not_to_show(project, run, audience):
            notes.append(left_out(run, why))
        else:
            shown.append(one)
    return shown, tuple(notes)


class _Maker:
    """Tells of runs to an audience. Each film is checked once; ``notes``: sentences for the coach."""

    def __init__(self, project: Project, readings: Sequence[Reading], audience: Audience) -> None:
        self._project, self._readings, self._audience = project, readings, audience
        self._checked: dict[str, tuple[Finding, ...]] = {}
        self.notes: list[str] = []

    def told(self, one: ReadRun) -> Told:
        """What the pages about a run are made of."""
        known, film = one.known, one.known.film.film
        told = told_of(self._project, known.evidence, one.reading, film, known.film.notes, self._readings)
        self.notes += known.film.notes
        told = replace(told, findings=self._findings(known.evidence.run.film_id, film))
        strip = posture_strip(known.evidence, one.reading)
        jpegs, why = ({}, "") if film is None else self._pictures(one, film, strip)
        told = with_strip(told, strip, jpegs, why)
        return without_names(told) if self._audience.public else told

    def _pictures(self, one: ReadRun, film: Film, strip: PostureStrip) -> tuple[dict[int, bytes], str]:
        """The film's pictures by frame, their faces hidden; none, and why, where that can't be."""
        run, camera = one.known.evidence.run, one.known.evidence.camera
        frames = sorted({int(frame.frame) for frame in strip.frames})
        covers = self._project.covers_of(run.film_id)
        try:
            hidden = hidden_faces(run, film, covers, frames, self._audience.faces, camera)
        except FilmError as error:
            words = tr("The pages of {run} have no pictures. {why}")
            self.notes.append(words.format(run=one_line(run.name), why=error))
            return {}, tr("Without pictures, since a face on them could not be hidden.")
        self.notes += hidden.notes
        return dict(pictures(film, frames, faces=hidden.places)), ""

    def _findings(self, film_id: str, film: Film | None) -> tuple[Finding, ...]:
        if film is not None and film_id not in self._checked:
            self._checked[film_id] = _found_in(film)
        return self._checked.get(film_id, ())


def _found_in(film: Film) -> tuple[Finding, ...]:
    from analysis.jobs.film_check import findings_of  # what looks at pictures: only for who asks

    try:
        return findings_of(film)
    except CinderlaneError:  # the page says the rest
        return ()
