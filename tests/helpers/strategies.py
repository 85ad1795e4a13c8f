"""Hypothesis strategies for the project's values: runs and their parts, and commands that fit a project."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, Better
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.command import Change, Command, FilmEntry, Item, Kind
from analysis.values.comparison import PublishedError
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.consent import Agreement, Consent
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.gate import GateTime
from analysis.values.posture import Moment
from analysis.values.project import PART_FIELDS, WHOLE_FIELDS, Project, bare, run_changes
from analysis.values.questions import Overruling, Question
from analysis.values.run import (
    POINT_NAMES,
    Athlete,
    BodyPoint,
    Direction,
    Footfall,
    GroundMark,
    Line,
    LineKind,
    Run,
    Side,
    StartPush,
)
from analysis.values.tagging import TaggingError, TaggingSample
from tests.helpers.narration_strategies import narrations, recordings
from tests.helpers.plan_strategies import days, drill_films, drills, ids, texts

LAST_FRAME = 2000

frames = st.integers(0, LAST_FRAME).map(FrameNumber)
sides = st.sampled_from(Side)
# -0.0 equals 0.0 and SQLite keeps only the latter
reals = st.floats(allow_nan=False, allow_infinity=False).map(lambda x: x + 0.0)
pixels = st.floats(-5000, 5000).map(lambda x: x + 0.0)
metres = st.floats(-20, 120).map(lambda x: x + 0.0)
errors_px = st.floats(0.01, 50)


def _optional(strategy: st.SearchStrategy) -> st.SearchStrategy:
    return st.none() | strategy


athletes = st.builds(
    Athlete,
    ids,
    texts,
    _optional(st.sampled_from(["male", "female"])),
    _optional(st.floats(1.0, 2.5)),
    _optional(st.floats(30, 200)),
    _optional(st.sampled_from(AgeGroup)),
    _optional(texts),
)

conditions = st.builds(
    Conditions,
    texts,
    _optional(st.sampled_from(Stance)),
    _optional(reals),
    texts,
    texts,
    _optional(reals),
    _optional(st.integers(1, 20)),
    texts,
)
overrulings = st.builds(Overruling, _optional(st.sampled_from(Question)), texts)
bands = st.builds(
    Band,
    texts,
    st.sampled_from(Moment),
    st.integers(0, 9),
    _optional(st.integers(0, 9)),
    _optional(reals),
    _optional(reals),
    texts,
    _optional(st.sampled_from(Better)),
)
groups = st.builds(
    BandGroup,
    _optional(st.sampled_from(["male", "female"])),
    _optional(texts),
    _optional(st.sampled_from(AgeGroup)),
    _optional(st.sampled_from(Stance)),
)
band_tables = st.builds(
    BandTable,
    ids,
    texts,
    st.integers(1, 9),
    st.sampled_from(BandOrigin),
    st.lists(bands, max_size=4).map(tuple),
    groups,
    st.none(),
    st.integers(0, 30),
)

film_facts = st.builds(
    FilmFacts,
    st.lists(st.integers(0, 10**12), min_size=1, max_size=30, unique=True)
    .map(lambda pts: tuple(sorted(pts)))
    .flatmap(lambda pts: st.builds(FrameTimes, st.just(pts), st.fractions(1e-6, 1))),
    st.integers(1, 8000),
    st.integers(1, 8000),
)

films = st.builds(
    FilmEntry,
    ids,
    st.just("") | ids.map(lambda name: f"/films/{name}.mp4"),
    ids,
    _optional(st.floats(1, 1000)),
    _optional(film_facts),
)

marks = st.builds(GroundMark, ids, metres, metres, frames, pixels, pixels, errors_px)

starts = st.builds(StartPush, _optional(frames), _optional(frames), _optional(frames), _optional(sides))

points = st.builds(BodyPoint, frames, st.sampled_from(POINT_NAMES), pixels, pixels, errors_px)

places = st.tuples(pixels, pixels)
lines = st.builds(
    Line, ids, frames, st.sampled_from(LineKind), _optional(sides), places, places, errors_px
).filter(lambda line: line.lower != line.upper)


@st.composite
def footfalls(draw, at_most=12, frames_per_second=240):
    """Footfalls as a run has them: feet in turn, each contact and flight a plausible number of frames."""
    second = frames_per_second
    side, frame = draw(sides), draw(st.integers(0, second))
    found = []
    for number in range(draw(st.integers(0, at_most))):
        touchdown = frame + draw(st.integers(max(1, second // 50), max(2, second // 5)))
        toe_off = touchdown + draw(st.integers(max(1, second // 12), max(2, second // 4)))
        unsure = draw(_optional(st.integers(0, 5)))
        draft = draw(st.booleans())
        numbers = FrameNumber(touchdown), FrameNumber(toe_off)
        found.append(Footfall(f"f{number:04d}", side, *numbers, unsure, draft=draft))
        side, frame = side.other, toe_off
    return tuple(found)


def unique(strategy: st.SearchStrategy, most: int = 6) -> st.SearchStrategy:
    """Tuples of parts with ids of their own."""
    return st.lists(strategy, max_size=most, unique_by=lambda part: part.id).map(tuple)


def distinct_marks(most: int = 6) -> st.SearchStrategy:
    """Marks that can be used together: places and pixels apart from each other."""
    apart = (lambda m: m.id, lambda m: round(m.x_m, 3), lambda m: round(m.u))
    return st.lists(marks, max_size=most, unique_by=apart).map(tuple)


def runs(film_id: str = "film", athlete_id: str | None = None) -> st.SearchStrategy:
    """Runs with everything on them; footfalls in order, all else anywhere."""
    return st.builds(
        Run,
        id=ids,
        film_id=st.just(film_id),
        name=texts,
        first_frame=frames,
        last_frame=st.integers(LAST_FRAME, 5000).map(FrameNumber),
        direction=st.sampled_from(Direction),
        athlete_id=st.just(athlete_id),
        camera_distance_m=_optional(st.floats(1, 60)),
        report_at_m=st.lists(st.floats(0.5, 40), max_size=4).map(tuple),
        notes=texts,
        start=starts,
        marks=distinct_marks(),
        footfalls=footfalls(),
        points=unique(points),
        lines=unique(lines),
        conditions=conditions,
        named_good=st.booleans(),
        overruled=_optional(overrulings),
        of_drill=st.booleans(),
    )


@st.composite
def projects(draw):
    """Projects in which every run has its film, and its athlete where it names one."""
    known_films = draw(st.lists(films, min_size=1, max_size=3, unique_by=lambda f: f.id))
    known_athletes = draw(st.lists(athletes, max_size=3, unique_by=lambda a: a.id))
    owners = _optional(st.sampled_from([a.id for a in known_athletes])) if known_athletes else st.none()
    of_film = st.sampled_from([f.id for f in known_films])
    any_run = st.tuples(of_film, owners).flatmap(lambda ends: runs(*ends))
    known_runs = draw(st.lists(any_run, max_size=3, unique_by=lambda r: r.id))
    return Project(
        {a.id: a for a in sorted(known_athletes, key=lambda a: a.id)},
        {f.id: f for f in sorted(known_films, key=lambda f: f.id)},
        {r.id: r for r in sorted(known_runs, key=lambda r: r.id)},
    )


face_places = st.builds(FacePlace, frames, pixels, pixels, metres, metres)
agreements = st.builds(Agreement, st.booleans(), st.booleans(), texts, texts)
lenses = st.builds(Lens, reals, reals, st.tuples(reals, reals), reals)
nine = st.tuples(*[reals] * 9)
camera_paths = st.lists(st.tuples(nine, st.floats(0)), max_size=4).flatmap(
    lambda rows: st.builds(
        CameraPath,
        st.sampled_from(CameraKind),
        frames,
        frames,
        st.just(np.array([maps for maps, _ in rows]).reshape(-1, 3, 3)),
        st.just(np.array([error for _, error in rows], dtype=np.float64)),
        reals,
        _optional(lenses),
    )
)

STRATEGIES: dict[Kind, st.SearchStrategy] = {
    Kind.ATHLETE: athletes,
    Kind.FILM: films,
    Kind.MARK: marks,
    Kind.FOOTFALL: st.builds(Footfall, ids, sides, frames, _optional(frames), _optional(st.integers(0, 9))),
    Kind.POINT: points,
    Kind.LINE: lines,
    Kind.CAMERA_PLACE: st.builds(
        CameraPlace, ids, texts, distinct_marks(), _optional(lenses), _optional(reals)
    ),
    Kind.FILM_CAMERA: st.builds(FilmCamera, ids, _optional(camera_paths), _optional(lenses), nine, reals),
    Kind.TAGGING: st.builds(TaggingSample, ids, texts, st.builds(TaggingError, reals, st.integers(0, 99))),
    Kind.BANDS: band_tables,
    Kind.DRILL: drills,
    Kind.DAY: days,
    Kind.FACE_COVER: st.builds(
        FaceCover, ids, ids, st.lists(face_places, max_size=4).map(tuple), st.integers(1, 9)
    ),
    Kind.CONSENT: st.builds(Consent, ids, agreements, agreements),
    Kind.RECORDING: recordings,
    Kind.GATE: st.builds(GateTime, ids, ids, texts, reals, reals, texts),
    Kind.PUBLISHED_ERROR: st.builds(PublishedError, ids, reals, texts),
}
"""New objects of a kind, anywhere; runs come from ``runs``, narrations from ``narrations``."""


@st.composite
def commands(draw, project: Project):
    """A command that fits the project: adds, changes or removes an object, or a run with all on it."""
    kinds = list(Kind) if project.films else [Kind.ATHLETE, Kind.FILM]
    kind = draw(st.sampled_from(kinds))
    if kind in PART_FIELDS:
        return draw(_part_commands(project, kind))
    if kind is Kind.RUN or (kind is Kind.NARRATION and not project.runs):
        return draw(_run_commands(project))
    drill_runs = sorted(run.id for run in project.runs.values() if run.of_drill)
    if kind is Kind.DRILL_FILM and not (drill_runs and project.days):
        kind = Kind.DAY
    known = getattr(project, WHOLE_FIELDS[kind])
    used = {i for r in project.runs.values() for i in (r.athlete_id, r.film_id, r.camera_place_id)}
    covered = {cover.film_id for cover in project.face_covers.values()}
    used |= {*project.film_cameras, *covered, *project.consents} if kind in _OWNERS else set()
    used |= {film.day_id for film in project.drill_films.values()}
    used |= {one.athlete_id for one in project.gates.values()}
    if kind is Kind.DRILL_FILM:
        new = drill_films(drill_runs, sorted(project.days))
    elif kind is Kind.NARRATION:
        new = narrations(sorted(project.runs))
    else:
        new = STRATEGIES[kind]
    found = draw(_item_commands(kind, list(known.values()), used, "", new))
    if kind in _PARTS_OF:
        return draw(_of_another(project, found))
    return found if kind not in _OWNED else draw(_of_owner(project, found))


_OWNERS = (Kind.ATHLETE, Kind.FILM, Kind.CAMERA_PLACE)
_OWNED = {Kind.FILM_CAMERA: "films", Kind.CONSENT: "athletes"}
"""What bears the id of something else, and where that stands."""
_PARTS_OF = {Kind.GATE: ("athlete_id", "athletes"), Kind.FACE_COVER: ("film_id", "films")}
"""What names something else in a field of its own, and where that stands."""


@st.composite
def _of_owner(draw, project: Project, command: Command):
    """What bears another's id changed, or added to one that the project has, where it has any."""
    (change,) = command.changes
    if change.new is None or change.old is not None:
        return command
    owners = sorted(getattr(project, _OWNED[change.kind]))
    if not owners:
        return Command("nothing", ())
    owner_id = draw(st.sampled_from(owners))
    old = getattr(project, WHOLE_FIELDS[change.kind]).get(owner_id)
    return Command(command.text, (Change(change.kind, owner_id, old, replace(change.new, id=owner_id)),))


@st.composite
def _of_another(draw, project: Project, command: Command):
    """A gate time of one of the project's athletes, a covered face on one of its films, where it has any."""
    (change,) = command.changes
    if change.new is None:
        return command
    name, where = _PARTS_OF[change.kind]
    if not (owners := sorted(getattr(project, where))):
        return Command("nothing", ())
    new = replace(change.new, **{name: draw(st.sampled_from(owners))})
    return Command(command.text, (replace(change, new=new),))


@st.composite
def _item_commands(
    draw, kind: Kind, known: list[Item], used: set[str | None], run_id: str, of: st.SearchStrategy
):
    new = draw(of)
    old = draw(st.sampled_from(known)) if known and draw(st.integers(0, 2)) else None
    if old is None:
        old = next((item for item in known if item.id == new.id), None)
    elif old.id not in used and draw(st.booleans()):
        new = None
    else:
        new = renamed(new, old)
    item_id = old.id if old is not None else new.id
    return Command("edit", (Change(kind, item_id, old, new, run_id),))


@st.composite
def _part_commands(draw, project: Project, kind: Kind):
    if not project.runs:
        return draw(_run_commands(project))
    run = project.runs[draw(st.sampled_from(sorted(project.runs)))]
    return draw(_item_commands(kind, list(getattr(run, PART_FIELDS[kind])), set(), run.id, STRATEGIES[kind]))


@st.composite
def _run_commands(draw, project: Project):
    film_id = draw(st.sampled_from(sorted(project.films)))
    athlete_id = draw(st.sampled_from([None, *sorted(project.athletes)]))
    new = draw(runs(film_id, athlete_id))
    deed = draw(st.sampled_from(["add", "change", "remove"])) if project.runs else "add"
    if deed == "add":
        return Command("add", run_changes(new)) if new.id not in project.runs else Command("nothing", ())
    old = project.runs[draw(st.sampled_from(sorted(project.runs)))]
    filmed = any(film.run_id == old.id for film in project.drill_films.values())
    if deed == "remove" and not filmed:
        return Command("remove", run_changes(old)).reversed
    new = replace(new, id=old.id, of_drill=filmed or new.of_drill)
    return Command("change", (Change(Kind.RUN, old.id, bare(old), bare(new)),))


def renamed(new: Item, old: Item) -> Item:
    """``new`` in the place of ``old``."""
    if isinstance(new, BodyPoint) and isinstance(old, BodyPoint):
        return replace(new, frame=old.frame, name=old.name)
    assert not isinstance(new, BodyPoint)
    return replace(new, id=old.id)
