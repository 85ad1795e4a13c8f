"""Long sequences of commands: quick to make, and the same for the same seed."""

from __future__ import annotations

import math
import struct
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from random import Random

import numpy as np

from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, Better
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.command import Change, Command, FilmEntry, Item, Kind
from analysis.values.comparison import PublishedError
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.consent import Agreement, Consent
from analysis.values.day_plan import DayPlan, Done, PlannedDrill
from analysis.values.drill import Block, Dose, Drill, Part, RestAfter, Span
from analysis.values.drill_film import DrillEvent, DrillFilm, DrillKind, DrillRep
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.gate import GateTime
from analysis.values.narration import Narration, Overlay, Stop
from analysis.values.posture import Moment
from analysis.values.project import PART_FIELDS, WHOLE_FIELDS, Project, apply, bare, run_changes
from analysis.values.questions import Overruling, Question
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown
from analysis.values.run import (
    POINT_NAMES,
    START_EVENTS,
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
from tests.helpers.strategies import renamed

_NEWEST = 9
_LATER_KINDS: Mapping[int, tuple[Kind, ...]] = {
    2: (Kind.CAMERA_PLACE, Kind.FILM_CAMERA, Kind.TAGGING),
    5: (Kind.BANDS,),
    6: (Kind.DRILL, Kind.DAY),
    7: (Kind.FACE_COVER, Kind.CONSENT, Kind.NARRATION, Kind.RECORDING, Kind.DRILL_FILM, Kind.GATE),
    8: (Kind.PUBLISHED_ERROR,),
}
_USED = (Kind.FILM, Kind.ATHLETE, Kind.CAMERA_PLACE, Kind.RECORDING, Kind.DAY)
"""What others may rest on."""
_LETTERS = "ab Z09'\"%;,\n\t\u00e9\u00df\u0416\u4e2d\U0001f3c3\u200f=-@"


class RandomEdits:
    """Makes one command after the other, each fitting the project that the ones before it left.

    ``version``: of the project file; only what a file of that version can hold is made.
    """

    def __init__(self, seed: int, project: Project | None = None, version: int = _NEWEST) -> None:
        later = {kind for since, kinds in _LATER_KINDS.items() if since > version for kind in kinds}
        self._version = version
        self._kinds = [kind for kind in Kind if kind not in later]
        self._random = Random(seed)
        self.project = project or Project()
        self._count = 0
        self._seed = seed

    def take(self, count: int) -> list[Command]:
        """The next commands; ``project`` is then as they leave it."""
        return [self._next() for _ in range(count)]

    def _next(self) -> Command:
        kind = self._random.choice(self._kinds)
        if kind is not Kind.ATHLETE and not self.project.films:
            kind = Kind.FILM
        if kind in (Kind.CONSENT, Kind.GATE) and not self.project.athletes:
            kind = Kind.ATHLETE
        if (kind in PART_FIELDS or kind is Kind.NARRATION) and not self.project.runs:
            kind = Kind.RUN
        if kind is Kind.DRILL_FILM and not self.project.days:
            kind = Kind.DAY
        if kind is Kind.DRILL_FILM and not self._drill_runs():
            kind = Kind.RUN
        command = Command(f"{kind} {self._count}", self._changes(kind))
        self.project = apply(self.project, command)
        return command

    def _changes(self, kind: Kind) -> tuple[Change, ...]:
        if kind is Kind.RUN:
            return self._run_changes()
        owner = self._random.choice(list(self.project.runs.values())) if kind in PART_FIELDS else None
        known: list[Item] = list(self._known(kind, owner))
        run_id = owner.id if owner is not None else ""
        return (self._change(kind, known, run_id),)

    def _change(self, kind: Kind, known: list[Item], run_id: str) -> Change:
        new: Item | None = self._item(kind)
        deed = self._random.choice(["add", "change", "remove"]) if known else "add"
        if deed == "add":
            assert new is not None
            old = next((item for item in known if item.id == new.id), None)
            return Change(kind, new.id, old, new, run_id)
        old = self._random.choice(known)
        used = {run.film_id for run in self.project.runs.values()}
        used |= {run.athlete_id for run in self.project.runs.values() if run.athlete_id is not None}
        used |= {run.camera_place_id for run in self.project.runs.values() if run.camera_place_id is not None}
        used |= {t.athlete_id for t in self.project.band_tables.values() if t.athlete_id is not None}
        used |= {athlete_id for day in self.project.days.values() for athlete_id in day.athlete_ids}
        used |= {
            told.recording_id for told in self.project.narrations.values() if told.recording_id is not None
        }
        if kind is Kind.FILM:
            used |= {*self.project.film_cameras, *(one.film_id for one in self.project.face_covers.values())}
        if kind is Kind.ATHLETE:
            used |= {*self.project.consents, *(one.athlete_id for one in self.project.gates.values())}
        used |= {film.day_id for film in self.project.drill_films.values()}
        if deed == "remove" and not (kind in _USED and old.id in used):
            return Change(kind, old.id, old, None, run_id)
        assert new is not None
        return Change(kind, old.id, old, renamed(new, old), run_id)

    def _run_changes(self) -> tuple[Change, ...]:
        deed = self._random.choice(["add", "change", "remove"]) if self.project.runs else "add"
        if deed == "add":
            return run_changes(self._run())
        old = self._random.choice(list(self.project.runs.values()))
        told = {run_id for narration in self.project.narrations.values() for run_id in narration.run_ids}
        filmed = any(film.run_id == old.id for film in self.project.drill_films.values())
        if deed == "remove" and old.id not in told and not filmed:
            return Command("", run_changes(old)).reversed.changes
        new = replace(self._run(), id=old.id)
        return (Change(Kind.RUN, old.id, bare(old), bare(replace(new, of_drill=filmed or new.of_drill))),)

    def _drill_runs(self) -> list[str]:
        return [run.id for run in self.project.runs.values() if run.of_drill]

    def _known(self, kind: Kind, owner: Run | None) -> tuple[Item, ...]:
        if owner is not None:
            parts: tuple[Item, ...] = getattr(owner, PART_FIELDS[kind])
            return parts
        return tuple(getattr(self.project, WHOLE_FIELDS[kind]).values())

    def _run(self) -> Run:
        random = self._random
        return Run(
            id=self._id("run"),
            film_id=random.choice(list(self.project.films)),
            name=self._text(),
            first_frame=self._frame(),
            last_frame=self._frame(),
            direction=random.choice(list(Direction)),
            athlete_id=random.choice([None, *self.project.athletes]),
            camera_distance_m=self._maybe(self._real()),
            report_at_m=tuple(self._real() for _ in range(random.randrange(4))),
            notes=self._text(),
            start=StartPush(
                self._maybe(self._frame()),
                self._maybe(self._frame()),
                self._maybe(self._frame()),
                self._maybe(self._side()),
                *self._start_drafts(),
            ),
            marks=tuple(self._item(Kind.MARK) for _ in range(random.randrange(4))),  # type: ignore[misc]
            footfalls=tuple(self._item(Kind.FOOTFALL) for _ in range(random.randrange(4))),  # type: ignore[misc]
            points=tuple({p.id: p for p in map(self._item, [Kind.POINT] * 3)}.values()),  # type: ignore[arg-type]
            lines=tuple(self._item(Kind.LINE) for _ in range(random.randrange(4))),  # type: ignore[misc]
            unknown_keys=self._text(),
            **self._lane(),
            **self._judged(),
        )

    def _lane(self) -> dict[str, object]:
        if self._version < 2:
            return {}
        lane: dict[str, object] = {
            "lane_offset_m": self._maybe(self._real()),
            "lane_offset_u_m": self._maybe(self._real()),
            "camera_place_id": self._random.choice([None, None, None, None, *self.project.camera_places]),
        }
        if self._version >= 3:
            lane["count_drafts"] = self._random.random() < 0.5
        if self._version >= 4:
            lane["retags"] = self._random.choice([None, None, *self.project.runs])
        return lane

    def _judged(self) -> dict[str, object]:
        if self._version < 5:
            return {}
        real, text, maybe = self._real, self._text, self._maybe
        question = maybe(self._random.choice(list(Question)))
        stance, rep = maybe(self._random.choice(list(Stance))), maybe(self._random.randrange(9))
        return {
            "conditions": Conditions(
                text(), stance, maybe(real()), text(), text(), maybe(real()), rep, text()
            ),
            "named_good": self._random.random() < 0.5,
            "overruled": maybe(Overruling(question, text())),
        } | ({"of_drill": self._random.random() < 0.5} if self._version >= 7 else {})

    def _start_drafts(self) -> tuple[tuple[str, ...], ...]:
        if self._version < 3:
            return ()
        return (tuple(name for name in START_EVENTS if self._random.random() < 0.5),)

    def _item(self, kind: Kind) -> Item:
        random, real, frame = self._random, self._real, self._frame
        if kind is Kind.ATHLETE:
            sex = random.choice([None, "male", "female"])
            code = self._id("a"), self._text()
            return Athlete(*code, sex, self._maybe(real()), self._maybe(real()), *self._age_and_sport())
        if kind is Kind.FILM:
            path = random.choice(["", f"/films/{self._text()}/clip.mp4", "C:\\films\\clip.mp4"])
            told = (self._maybe(random.randrange(1, 5)),) if self._version >= 2 else ()
            return FilmEntry(
                self._id("film"), path, self._text(), self._maybe(real()), self._maybe(self._facts()), *told
            )
        if kind is Kind.MARK:
            later = (real(), real()) if self._version >= 2 else ()
            return GroundMark(self._id("m"), real(), real(), frame(), real(), real(), real(), *later)
        if kind is Kind.FOOTFALL:
            down, off = random.choice([(frame(), None), (None, frame()), (frame(), frame())])
            unsure = self._maybe(random.randrange(9))
            name, side, draft = self._id("f"), self._side(), random.random() < 0.5
            confidence = self._maybe(random.random()) if self._version >= 3 else None
            return Footfall(name, side, down, off, unsure, draft, confidence)
        if kind is Kind.POINT:
            return BodyPoint(frame(), random.choice(POINT_NAMES), real(), real(), real())
        if kind in _LATER_KINDS[2]:
            return self._of_camera(kind)
        if kind is Kind.BANDS:
            return self._band_table()
        if kind is Kind.DRILL:
            return self._drill()
        if kind is Kind.DAY:
            return self._day()
        if kind is Kind.FACE_COVER:
            places = [FacePlace(frame(), *(real() for _ in range(4))) for _ in range(random.randrange(4))]
            film_id = random.choice(list(self.project.films))
            if self._version < 8:  # such a file held one a film, under the film's id
                return FaceCover(film_id, film_id, tuple(places))
            return FaceCover(self._id("face"), film_id, tuple(places), random.randrange(1, 9))
        if kind is Kind.CONSENT:
            agreed = [Agreement(self._flip(), self._flip(), self._text(), self._text()) for _ in range(2)]
            return Consent(random.choice(list(self.project.athletes)), *agreed)
        if kind is Kind.GATE:
            athlete_id = random.choice(list(self.project.athletes))
            return GateTime(self._id("gate"), athlete_id, self._text(), real(), real(), self._text())
        if kind in (Kind.NARRATION, Kind.RECORDING):
            return self._narration() if kind is Kind.NARRATION else self._recording()
        if kind is Kind.DRILL_FILM:
            return self._drill_film()
        if kind is Kind.PUBLISHED_ERROR:
            return PublishedError(self._id("measure"), real(), self._text())
        side, line_kind = self._maybe(self._side()), random.choice(list(LineKind))
        return Line(self._id("l"), frame(), line_kind, side, (real(), real()), (real(), real()), real())

    def _age_and_sport(self) -> tuple[object, ...]:
        if self._version < 5:
            return ()
        return self._maybe(self._random.choice(list(AgeGroup))), self._maybe(self._text())

    def _band_table(self) -> BandTable:
        random, maybe = self._random, self._maybe
        sex, age = maybe(random.choice(["male", "female"])), maybe(random.choice(list(AgeGroup)))
        group = BandGroup(sex, maybe(self._text()), age, maybe(random.choice(list(Stance))))
        bands = tuple(self._band() for _ in range(random.randrange(4)))
        name, version, origin = self._text(), random.randrange(9), random.choice(list(BandOrigin))
        athlete_id = random.choice([None, *self.project.athletes])
        told = random.randrange(99), *((self._text(),) if self._version >= 9 else ())
        return BandTable(self._id("b"), name, version, origin, bands, group, athlete_id, *told)

    def _drill(self) -> Drill:
        random, text, texts = self._random, self._text, self._texts
        return Drill(
            id=self._id("drill"),
            name=f"{text()}.",
            blocks=tuple(random.sample(list(Block), random.randrange(1, 4))),
            questions=tuple(random.sample(list(Question), random.randrange(5))),
            parts=tuple(random.sample(list(Part), random.randrange(6))),
            purpose=text(),
            set_up=text(),
            dose=Dose(*(self._span() for _ in range(3)), random.choice(list(RestAfter)), text(), text()),
            rep_s=random.uniform(0.1, 99),
            sprint_m=random.uniform(0, 99),
            look_for=texts(),
            faults=texts(),
            easier=text(),
            harder=text(),
            cautions=texts(),
            defer=text(),
            experienced=random.random() < 0.5,
            own=True,
        )

    def _span(self) -> Span:
        return Span(*sorted(self._random.uniform(1, 300) for _ in range(2)))

    def _texts(self) -> tuple[str, ...]:
        return tuple(self._text() for _ in range(self._random.randrange(4)))

    def _day(self) -> DayPlan:
        random, maybe, known = self._random, self._maybe, list(self.project.athletes)
        athletes = tuple(random.sample(known, random.randrange(min(2, len(known)) + 1)))
        drills = tuple(self._planned() for _ in range(random.randrange(4)))
        question, minutes = maybe(random.choice(list(Question))), maybe(self._real())
        ends = self._id("day"), self._text(), athletes, question, drills, minutes
        return DayPlan(*ends, random.randrange(1, 5), self._text())

    def _planned(self) -> PlannedDrill:
        random, text = self._random, self._text
        loads = tuple((text(), text()) for _ in range(random.randrange(3)))
        counts = random.randrange(1, 9), random.randrange(1, 99), self._real()
        block = self._id("p"), text(), random.choice(list(Block))
        words = text(), text()
        done = self._maybe(Done(text(), text())) if self._version >= 8 else None
        if done is not None and self._version >= 9:
            done = replace(done, left_out=self._texts())
        return PlannedDrill(*block, *counts, *words, loads, done)

    def _drill_film(self) -> DrillFilm:
        random = self._random
        places = random.choice(self._drill_runs()), random.choice(list(self.project.days)), self._text()
        reps = tuple(self._rep() for _ in range(random.randrange(4)))
        return DrillFilm(self._id("df"), *places, random.choice(list(DrillKind)), reps)

    def _rep(self) -> DrillRep:
        random = self._random
        first, last = sorted(self._frame() for _ in range(2))
        counts = random.randrange(1, 9), random.randrange(1, 99)
        events = tuple((random.choice(list(DrillEvent)), self._frame()) for _ in range(random.randrange(4)))
        return DrillRep(self._id("rep"), first, last, *counts, self._text(), events)

    def _band(self) -> Band:
        random, maybe = self._random, self._maybe
        steps = random.randrange(9), maybe(random.randrange(9))
        ends = maybe(self._real()), maybe(self._real())
        better = maybe(random.choice(list(Better)))
        return Band(self._text(), random.choice(list(Moment)), *steps, *ends, self._text(), better)

    def _of_camera(self, kind: Kind) -> Item:
        random, real = self._random, self._real
        lens = self._maybe(Lens(real(), real(), (real(), real()), real()))
        if kind is Kind.CAMERA_PLACE:
            marks = tuple(self._item(Kind.MARK) for _ in range(random.randrange(4)))
            return CameraPlace(self._id("place"), self._text(), marks, lens, self._maybe(real()))  # type: ignore[arg-type]
        if kind is Kind.TAGGING:
            return TaggingSample(self._id("t"), self._text(), TaggingError(real(), random.randrange(99)))
        path = CameraPath(
            random.choice(list(CameraKind)),
            self._frame(),
            self._frame(),
            np.array([real() for _ in range(18)]).reshape(2, 3, 3),
            np.array([real(), math.inf]),
            real(),
            *((self._maybe(Lens(real(), real(), (real(), real()), real())),) if self._version >= 4 else ()),
        )
        film_id = random.choice(list(self.project.films))
        return FilmCamera(film_id, self._maybe(path), lens, tuple(real() for _ in range(9)), real())

    def _narration(self) -> Narration:
        random, known = self._random, list(self.project.runs)
        run_ids = tuple(random.choices(known, k=random.randrange(1, 3)))
        stops = tuple(self._stop() for _ in range(random.randrange(4)))
        spoken = random.choice([None, *self.project.recordings])
        return Narration(self._id("n"), self._text(), run_ids, stops, spoken)

    def _stop(self) -> Stop:
        random, maybe = self._random, self._maybe
        known = list(Overlay)[:5]  # files of every version know these
        drawn = tuple(random.sample(known, random.randrange(6)))
        times = random.uniform(0, 60), random.uniform(0.01, 1)
        ends = self._id("s"), self._frame(), self._text(), drawn
        return Stop(*ends, maybe(self._zoom()), *times, maybe(self._frame()), maybe(self._zoom()))

    def _zoom(self) -> tuple[float, float, float, float]:
        return self._real(), self._real(), *(self._random.uniform(1, 2000) for _ in range(2))

    def _recording(self) -> Recording:
        random, real, maybe = self._random, self._real, self._maybe
        playhead = [
            Shown(real(), self._frame(), maybe(self._frame()), self._text())
            for _ in range(random.randrange(4))
        ]
        points = tuple(PenPoint(real(), real(), real()) for _ in range(random.randrange(4)))
        stroke = PenStroke(points, maybe(real()), random.random() < 0.5)
        sound = random.randbytes(random.randrange(99))
        return Recording(self._id("rec"), sound, real(), tuple(playhead), (stroke,))

    def _facts(self) -> FilmFacts:
        pts = sorted({self._random.randrange(-(2**40), 2**62) for _ in range(5)})
        base = Fraction(self._random.randrange(1, 10**6), self._random.randrange(1, 10**12))
        return FilmFacts(FrameTimes(tuple(pts), base), 1280, 720)

    def _id(self, prefix: str) -> str:
        self._count += 1
        return f"{prefix}{self._seed}.{self._count}"

    def _side(self) -> Side:
        return self._random.choice(list(Side))

    def _frame(self) -> FrameNumber:
        return FrameNumber(self._random.choice([self._random.randrange(2000), self._random.randrange(2**50)]))

    def _text(self) -> str:
        return "".join(self._random.choices(_LETTERS, k=self._random.randrange(8)))

    def _real(self) -> float:
        """A finite number of any size, with every bit of its mantissa in use."""
        while True:
            (value,) = struct.unpack("<d", self._random.randbytes(8))
            usual = self._random.choice([value, self._random.uniform(-100, 2000), 0.1 + 0.2, 5e-324])
            if math.isfinite(usual):
                return float(usual)

    def _flip(self) -> bool:
        return self._random.random() < 0.5

    def _maybe(self, value):
        return self._random.choice([None, value])
