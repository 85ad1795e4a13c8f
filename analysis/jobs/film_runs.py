"""The runs that an annotated film shows, put together out of a project: what they are and may be shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from analysis.jobs.evidence import known_run
from analysis.jobs.film_wish import FilmWish, focus_of
from analysis.jobs.hiding import check_captions, check_shown, titles
from analysis.jobs.narrations import find_narration
from analysis.jobs.runs import find_run
from analysis.reading import read
from analysis.reading.laying import Played, knots, shared_moments
from analysis.reading.lock import EventKind, Moment, moments
from analysis.report.film_frames import Look
from analysis.report.film_order import ordered
from analysis.report.film_reel import Reel, narrated_reel, paired_reel, plain_reel, spoken_reel
from analysis.values.errors import CinderlaneError
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.face_cover import FaceCover
from analysis.values.film import Film
from analysis.values.narration import Narration
from analysis.values.narration_course import course
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.time_map import TimeMap
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.store import ProjectFile


@dataclass(frozen=True)
class FilmRun:
    """One run, its film opened; ``covers``: what was placed over faces on the film."""

    run: Run
    film: Film
    evidence: Evidence
    reading: Reading
    notes: tuple[str, ...]
    title: str
    covers: tuple[FaceCover, ...]


@dataclass(frozen=True)
class FilmPlan:
    """All that an annotated film is made of. ``sound``: what was spoken over it, a sound file."""

    runs: tuple[FilmRun, ...]
    reel: Reel
    look: Look
    sound: bytes | None = None


def film_plan(file: ProjectFile, wanted: str | None, wish: FilmWish) -> FilmPlan:
    """What is to be written. ``wanted``: as for ``find_run``; a narration's own runs come before it.

    Raises CinderlaneError where a run, film or narration is not there, or the film may not be shown.
    """
    project, narration = file.project, _narration(file.project, wish.narration)
    asked = runs_shown(project, wanted, wish)
    check_shown(project, asked, wish.audience)
    over = titles(project, asked, wish.audience)
    runs = tuple(_film_run(file, run, wish, title) for run, title in zip(asked, over, strict=True))
    look = _looked_at(wish, runs[0].reading)
    if narration is None:
        return FilmPlan(runs, _reel(runs, wish), look)
    check_captions(project, asked, (stop.words for stop in narration.stops), wish.audience)
    recording = project.recordings.get(narration.recording_id or "")
    if recording is not None:
        return FilmPlan(runs, spoken_reel(narration, recording), look, recording.sound)
    times = [run.evidence.film.times for run in runs]
    return FilmPlan(runs, narrated_reel(narration, course(narration, *times)), look)


def _narration(project: Project, narration_id: str) -> Narration | None:
    return find_narration(project, narration_id) if narration_id else None


def runs_shown(project: Project, wanted: str | None, wish: FilmWish) -> list[Run]:
    """The runs that are to be seen: those of the narration, or the one wanted and the one beside.

    ``wanted``: as for ``film_plan``. Raises CinderlaneError where a run or narration is not there.
    """
    narration = _narration(project, wish.narration)
    if narration is not None:
        return [project.runs[run_id] for run_id in narration.run_ids]
    return [find_run(project, one) for one in (wanted, *((wish.beside,) if wish.beside else ()))]


def _film_run(file: ProjectFile, run: Run, wish: FilmWish, title: str) -> FilmRun:
    known = known_run(file, run)
    evidence = replace(known.evidence, lines_between=wish.look.drawn.between)
    film = known.film.opened()
    covers = file.project.covers_of(run.film_id)
    return FilmRun(run, film, evidence, read(evidence), known.film.notes, title, covers)


def _looked_at(wish: FilmWish, reading: Reading) -> Look:
    """How it is drawn, with the measure that is looked at."""
    focus = next((one for one in reading.posture if focus_of(one) == wish.focus), None)
    if focus is None:
        return wish.look
    return replace(wish.look, drawn=replace(wish.look.drawn, focus=focus))


def _frame(told: int | str, tagged: Mapping[Moment, int]) -> int:
    """A frame by its number, or by the event that is tagged on it: "first_movement", "touchdown:2"."""
    if str(told).isdecimal():
        return int(told)
    kind, _, step = str(told).partition(":")
    known = kind in set(EventKind) and (step.isdecimal() or not step)
    frame = tagged.get(Moment(EventKind(kind), int(step or 0))) if known else None
    if frame is None:
        raise CinderlaneError(
            tr("{event} is not tagged in this run. Say a frame, or one of: {known}.").format(
                event=told, known=", ".join(map(moment_key, tagged))
            )
        )
    return frame


def moment_key(moment: Moment) -> str:
    """How an event is named on the command line."""
    return f"{moment.kind.value}:{moment.step}" if moment.step else moment.kind.value


def _reel(runs: Sequence[FilmRun], wish: FilmWish) -> Reel:
    run = runs[0].evidence.run
    tagged = moments(run, runs[0].reading)
    first = int(run.first_frame) if wish.first is None else _frame(wish.first, tagged)
    last = int(run.last_frame) if wish.last is None else _frame(wish.last, tagged)
    times = runs[0].evidence.film.times
    if not 0 <= first <= last < len(times):
        raise CinderlaneError(
            tr("A film from frame {first} to {last} can't be written: this one has {count} frames.").format(
                first=first, last=last, count=len(times)
            )
        )
    stops = [f.touchdown for f in run.footfalls if f.touchdown is not None]
    order = ordered(times, first, last, stops, wish.pace)
    if len(runs) == 1:
        return plain_reel(order)
    one, other = (Played(each.evidence.run, each.reading, each.evidence.film.times) for each in runs)
    found = knots(one, other, wish.lock, shared_moments(one, other))
    if isinstance(found, NoValue):
        raise CinderlaneError(found.reason)
    return paired_reel(order, one.times, other.times, TimeMap(found))
