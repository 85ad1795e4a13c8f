"""The whole project as a frozen value, and how a command changes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby
from types import MappingProxyType
from typing import Any

from analysis.values.bands import BandTable
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.command import Change, Command, FilmEntry, Item, Kind
from analysis.values.comparison import PublishedError
from analysis.values.consent import Consent
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.drill_film import DrillFilm
from analysis.values.errors import ProjectError
from analysis.values.face_cover import FaceCover
from analysis.values.gate import GateTime
from analysis.values.narration import Narration
from analysis.values.recording import Recording
from analysis.values.run import Athlete, BodyPoint, Footfall, GroundMark, Line, Run
from analysis.values.tagging import TaggingSample
from analysis.values.words import tr

PART_FIELDS: Mapping[Kind, str] = MappingProxyType(
    {Kind.MARK: "marks", Kind.FOOTFALL: "footfalls", Kind.POINT: "points", Kind.LINE: "lines"}
)
"""Which field of a run holds the parts of a kind."""

ITEM_TYPES: Mapping[Kind, type[Item]] = MappingProxyType(
    {
        Kind.ATHLETE: Athlete,
        Kind.FILM: FilmEntry,
        Kind.RUN: Run,
        Kind.MARK: GroundMark,
        Kind.FOOTFALL: Footfall,
        Kind.POINT: BodyPoint,
        Kind.LINE: Line,
        Kind.CAMERA_PLACE: CameraPlace,
        Kind.FILM_CAMERA: FilmCamera,
        Kind.TAGGING: TaggingSample,
        Kind.BANDS: BandTable,
        Kind.DRILL: Drill,
        Kind.DAY: DayPlan,
        Kind.FACE_COVER: FaceCover,
        Kind.CONSENT: Consent,
        Kind.GATE: GateTime,
        Kind.NARRATION: Narration,
        Kind.RECORDING: Recording,
        Kind.DRILL_FILM: DrillFilm,
        Kind.PUBLISHED_ERROR: PublishedError,
    }
)
"""What an edit of a kind holds."""

WHOLE_FIELDS: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.ATHLETE: "athletes",
        Kind.FILM: "films",
        Kind.CAMERA_PLACE: "camera_places",
        Kind.FILM_CAMERA: "film_cameras",
        Kind.TAGGING: "tagging",
        Kind.BANDS: "band_tables",
        Kind.DRILL: "drills",
        Kind.DAY: "days",
        Kind.FACE_COVER: "face_covers",
        Kind.CONSENT: "consents",
        Kind.GATE: "gates",
        Kind.NARRATION: "narrations",
        Kind.RECORDING: "recordings",
        Kind.DRILL_FILM: "drill_films",
        Kind.PUBLISHED_ERROR: "published_errors",
    }
)
"""Which field of the project holds the objects of a kind that come whole."""


@dataclass(frozen=True)
class Project:
    """Everything the coach said, by id. Changed only by ``apply``.

    ``film_cameras``: by the id of the film. ``tagging``: one sample for each blind retagging.
    ``band_tables``: in all their versions. ``drills``: that the coach wrote or changed. ``days``: planned.
    ``face_covers``: any number a film. ``consents``: by the id of the athlete. ``gates``: times from timing
    gates. ``recordings``: what was spoken over narrations. ``drill_films``: films of what was done on them.
    ``published_errors``: by the key of the measure, which they judge in the place of the own spread.
    """

    athletes: Mapping[str, Athlete] = field(default_factory=dict)
    films: Mapping[str, FilmEntry] = field(default_factory=dict)
    runs: Mapping[str, Run] = field(default_factory=dict)
    camera_places: Mapping[str, CameraPlace] = field(default_factory=dict)
    film_cameras: Mapping[str, FilmCamera] = field(default_factory=dict)
    tagging: Mapping[str, TaggingSample] = field(default_factory=dict)
    band_tables: Mapping[str, BandTable] = field(default_factory=dict)
    drills: Mapping[str, Drill] = field(default_factory=dict)
    days: Mapping[str, DayPlan] = field(default_factory=dict)
    face_covers: Mapping[str, FaceCover] = field(default_factory=dict)
    consents: Mapping[str, Consent] = field(default_factory=dict)
    gates: Mapping[str, GateTime] = field(default_factory=dict)
    narrations: Mapping[str, Narration] = field(default_factory=dict)
    recordings: Mapping[str, Recording] = field(default_factory=dict)
    drill_films: Mapping[str, DrillFilm] = field(default_factory=dict)
    published_errors: Mapping[str, PublishedError] = field(default_factory=dict)

    @property
    def sprints(self) -> tuple[Run, ...]:
        """The runs without those that hold what is marked on films of drills."""
        return tuple(run for run in self.runs.values() if not run.of_drill)

    def athlete_of(self, run: Run | None) -> Athlete | None:
        """Who ran, where there is a run and it was said."""
        return None if run is None else self.athletes.get(run.athlete_id or "")

    def covers_of(self, film_id: str) -> tuple[FaceCover, ...]:
        """The covered faces of a film, by their numbers."""
        found = (cover for cover in self.face_covers.values() if cover.film_id == film_id)
        return tuple(sorted(found, key=lambda cover: (cover.number, cover.id)))


def bare(run: Run) -> Run:
    """The run without its marks, footfalls, points and lines."""
    return replace(run, marks=(), footfalls=(), points=(), lines=())


def _by_id(run: Run, kind: Kind) -> dict[str, Any]:
    """Marks, footfalls, points or lines of a run by their ids."""
    return {part.id: part for part in getattr(run, PART_FIELDS[kind])}


def apply(project: Project, command: Command) -> Project:
    """A new project with the command done.

    Raises ProjectError, and changes nothing, where an object is not what the command takes it to be, where a
    change is not about the object that it names, or where a run would be left without its film or athlete.
    """
    for (kind, run_id), changes in groupby(command.changes, key=lambda change: (change.kind, change.run_id)):
        if kind in PART_FIELDS:
            owner = project.runs.get(run_id)
            if owner is None:
                raise ProjectError(tr("The run that this belongs to is not in the project any more."))
            project = replace(project, runs={**project.runs, run_id: with_parts(owner, kind, changes)})
        else:
            for change in changes:
                project = _apply_change(project, change)
    if any(change.kind not in PART_FIELDS for change in command.changes):
        _check_references(project)
    return project


def run_changes(run: Run) -> tuple[Change, ...]:
    """The changes that add a run with everything marked on it; a command of them, reversed, removes it."""
    parts = tuple(
        Change(kind, part.id, None, part, run.id)
        for kind, name in PART_FIELDS.items()
        for part in getattr(run, name)
    )
    return (Change(Kind.RUN, run.id, None, bare(run)), *parts)


def _check_references(project: Project) -> None:
    for run in project.runs.values():
        if run.film_id not in project.films:
            raise ProjectError(
                tr("A run needs its film: remove the run first, or choose a film that is in the project.")
            )
        if run.athlete_id is not None and run.athlete_id not in project.athletes:
            raise ProjectError(
                tr("The athlete still has runs: give them to somebody else first, or remove them.")
            )
        if run.camera_place_id is not None and run.camera_place_id not in project.camera_places:
            raise ProjectError(
                tr("Runs still use the marks of this camera place: take them off it first, or keep it.")
            )
    if any(t.athlete_id not in (None, *project.athletes) for t in project.band_tables.values()):
        raise ProjectError(tr("An own pattern belongs to the athlete: remove the pattern first."))
    if any(film_id not in project.films for film_id in project.film_cameras):
        raise ProjectError(tr("What is known of a film's camera goes together with its film."))
    if any(cover.film_id not in project.films for cover in project.face_covers.values()):
        raise ProjectError(tr("A covered face goes together with its film."))
    if any(athlete_id not in project.athletes for athlete_id in project.consents):
        raise ProjectError(tr("The athlete's consent is still noted: remove it first."))
    if any(gate.athlete_id not in project.athletes for gate in project.gates.values()):
        raise ProjectError(tr("The athlete still has times from gates: remove them first."))
    if any(one not in project.athletes for day in project.days.values() for one in day.athlete_ids):
        raise ProjectError(
            tr("The athlete still stands on a planned day: take the athlete off that day first.")
        )
    _check_narrations(project)


def _check_narrations(project: Project) -> None:
    told = project.narrations.values()
    if any(run_id not in project.runs for one in told for run_id in one.run_ids):
        raise ProjectError(tr("A narration goes over this run: remove the narration first."))
    if any(one.recording_id not in (None, *project.recordings) for one in told):
        raise ProjectError(tr("What was spoken stays until its narration lets go of it."))
    if any(film.day_id not in project.days for film in project.drill_films.values()):
        raise ProjectError(tr("The day still has films of its drills: remove these first."))
    of_drills = {run.id for run in project.runs.values() if run.of_drill}
    if any(film.run_id not in of_drills for film in project.drill_films.values()):
        raise ProjectError(tr("A film of a drill and what is marked on it go together."))


def _check_change(change: Change) -> None:
    if change.new is None:
        return
    if not isinstance(change.new, ITEM_TYPES[change.kind]) or change.new.id != change.id:
        raise ProjectError(tr("The change does not fit the object that it names. Nothing was altered."))
    if isinstance(change.new, Run) and bare(change.new) != change.new:
        raise ProjectError(
            tr("A run is added first, and what was marked on it after it. Nothing was altered.")
        )
    if isinstance(change.new, Footfall) and change.new.touchdown is None and change.new.toe_off is None:
        raise ProjectError(tr("A footfall needs a touchdown or a toe-off. Nothing was altered."))


def _current(project: Project, change: Change) -> object | None:
    """What the project now holds in the place of a change; a run comes without its parts."""
    if change.kind is Kind.RUN:
        run = project.runs.get(change.id)
        return None if run is None else bare(run)
    found: object | None = getattr(project, WHOLE_FIELDS[change.kind]).get(change.id)
    return found


def _check_as_it_was(now: object | None, change: Change) -> None:
    if now != change.old:
        raise ProjectError(
            tr("This was changed elsewhere in the meantime. Nothing was altered; look and try again.")
        )


def _apply_change(project: Project, change: Change) -> Project:
    """With one object changed that is no part of a run."""
    _check_change(change)
    _check_as_it_was(_current(project, change), change)
    if change.kind is Kind.RUN:
        return replace(project, runs=_with_run(project.runs, change))
    name = WHOLE_FIELDS[change.kind]
    whole: Any = {name: _with(getattr(project, name), change)}
    return replace(project, **whole)


def with_parts(run: Run, kind: Kind, changes: Iterable[Change]) -> Run:
    """The run with marks, footfalls, points or lines of one kind changed; what is new stands last.

    Raises ProjectError where one is not what its change takes it to be, or a change not about it.
    """
    held = _by_id(run, kind)
    for change in changes:
        _check_change(change)
        _check_as_it_was(held.pop(change.id, None), change)
        if change.new is not None:
            held[change.id] = change.new
    parts: Any = {PART_FIELDS[kind]: tuple(held.values())}
    return replace(run, **parts)


def _with(items: Mapping[str, Any], change: Change) -> dict[str, Any]:
    kept = {key: item for key, item in items.items() if key != change.id}
    if change.new is not None:
        kept[change.id] = change.new
    return dict(sorted(kept.items()))


def _with_run(runs: Mapping[str, Run], change: Change) -> dict[str, Run]:
    old = runs.get(change.id)
    if isinstance(change.new, Run) and old is not None:
        parts = {name: getattr(old, name) for name in PART_FIELDS.values()}
        return {**runs, change.id: replace(change.new, **parts)}
    if change.new is None and old is not None and bare(old) != old:
        raise ProjectError(tr("A run can only go together with what was marked on it."))
    return _with(runs, change)
