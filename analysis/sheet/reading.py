"""A run sheet in: plain JSON to values."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from analysis.ground.marks import check_marks
from analysis.sheet import text
from analysis.sheet.camera import not_below_zero, read_lens, read_path, read_tagging
from analysis.sheet.conditions import read_conditions, read_overruling
from analysis.sheet.fields import Fields, joined
from analysis.sheet.sheet import FORMAT, VERSION, PlacedFrame, Sheet, check_frames
from analysis.steps.order import check_start, conflicts
from analysis.values.camera import CameraPath, Lens
from analysis.values.conditions import AgeGroup
from analysis.values.errors import CinderlaneError, FilmError, SheetError
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.paths import restored
from analysis.values.run import (
    DEFAULT_ERROR_PX,
    POINT_NAMES,
    Athlete,
    BodyPoint,
    Direction,
    Footfall,
    GroundMark,
    Line,
    LineKind,
    Run,
    Sex,
    Side,
    StartPush,
)
from analysis.values.words import tr

T = TypeVar("T")

MOST = 500
"""More marks or footfalls than one run can hold."""


def read_sheet(source: str | os.PathLike[str] | Mapping[str, Any], base: Path | None = None) -> Sheet:
    """The sheet in a file, or given as the object that a file would hold.

    ``base``: the folder from which the film's path counts; if not given, the sheet's own or the current one.
    Raises SheetError, naming the place and what to do, for every fault.
    """
    if isinstance(source, Mapping):
        return _Reader(text.plain(source), base or Path.cwd()).sheet()
    path = text.name_of(source)
    return _Reader(text.load(path), base or path.parent).sheet()


class _Reader:
    """Reads one sheet; collects the frames that it mentions and the keys that nobody knows."""

    def __init__(self, content: dict[str, Any], base: Path) -> None:
        self._top = Fields(content, "")
        self._base = base
        self._frames: list[PlacedFrame] = []
        self._film_frames: int | None = None
        self._unknown: dict[str, dict[str, Any]] = {}
        self._notes: list[str] = []

    def sheet(self) -> Sheet:
        self._check_format()
        film_path, facts = self._film()
        self._film_frames = None if facts is None else facts.frames
        athlete = self._athlete()
        stretch = self._stretch()
        direction = self._top.choice("direction", Direction, Direction.RIGHT)
        marks, start, footfalls = self._marks(), self._start(), self._footfalls()
        points, lines = self._points(), self._lines()
        distance, lens, path = self._camera()
        lane, lane_u = self._lane()
        tagging = self._kept("tagging", read_tagging)
        conditions = self._kept("conditions", read_conditions)
        overruled = self._kept("overruled", read_overruling)
        named_good = self._top.flag("named_good", default=False)
        name, notes = self._top.text("name", ""), self._top.text("notes", "")
        report_at = self._report_at()
        self._keep("", self._top)
        _located("start", lambda: check_start(start, footfalls))
        last = facts.frames - 1 if facts is not None else max((f.frame for f in self._frames), default=0)
        first_frame, last_frame = stretch or (FrameNumber(0), FrameNumber(last))
        run = Run(
            id="run",
            film_id="film",
            name=name,
            first_frame=first_frame,
            last_frame=last_frame,
            direction=direction,
            athlete_id=None if athlete is None else athlete.id,
            camera_distance_m=distance,
            lane_offset_m=lane,
            lane_offset_u_m=lane_u,
            report_at_m=report_at,
            notes=notes,
            start=start,
            marks=marks,
            footfalls=footfalls,
            points=points,
            lines=lines,
            unknown_keys=json.dumps(self._unknown, sort_keys=True) if self._unknown else "",
            conditions=conditions,
            named_good=named_good,
            overruled=overruled,
        )
        frames, said = tuple(self._frames), tuple(self._notes)
        whole = stretch is None
        return Sheet(run, athlete, film_path, facts, whole, frames, said, path, lens, tagging)

    def _check_format(self) -> None:
        if self._top.text("format") != FORMAT:
            self._top.fault(
                "format", tr('must be "{format}"; this is another kind of file').format(format=FORMAT)
            )
        version = self._top.whole("version")
        if version > VERSION:
            raise SheetError(
                tr(
                    "version: the run sheet is of version {version}, written by a newer program; this one "
                    "reads version {known}. Open it with the newer program."
                ).format(known=VERSION, version=version)
            )
        if version != VERSION:
            self._top.fault(
                "version",
                tr("this program reads version {known}, the sheet is of version {version}").format(
                    known=VERSION, version=version
                ),
            )

    def _film(self) -> tuple[Path | None, FilmFacts | None]:
        film = self._top.part("film")
        path, times = film.text("path", None), film.items("times_s", None)
        if not path and times is None:
            film.fault("path", tr("is missing, and so is times_s; the sheet needs one of them"))
        facts = None
        width, height = film.whole("width", None), film.whole("height", None)
        if times is not None:
            for key, size in (("width", width), ("height", height)):
                if not size:
                    film.fault(key, tr("must be given in pixels beside times_s"))
            facts = FilmFacts(_times(film, times), width, height)
        self._keep("film", film)
        return (Path(restored(path, self._base)) if path else None), facts

    def _athlete(self) -> Athlete | None:
        part = self._top.part("athlete", None)
        if part is None:
            return None
        sex = part.choice("sex", Sex, None)
        athlete = Athlete(
            id="athlete",
            code=part.text("code", ""),
            sex=None if sex is None else sex.value,
            stature_m=part.real("stature_m", None, above=0.3, below=3.0, unit="m"),
            mass_kg=part.real("mass_kg", None, above=5.0, below=500.0, unit="kg"),
            age=part.choice("age", AgeGroup, None),
            sport=part.text("sport", None),
        )
        self._keep("athlete", part)
        return athlete

    def _stretch(self) -> tuple[FrameNumber, FrameNumber] | None:
        stretch = self._top.items("stretch", None)
        if stretch is None:
            return None
        if len(stretch) != 2:
            self._top.fault("stretch", tr("must hold two frame numbers, the first and the last"))
        first, last = (self._placed("stretch", self._top.checked_whole(f, "stretch")) for f in stretch)
        if first > last:
            self._top.fault("stretch", tr("the first frame comes after the last"))
        return first, last

    def _camera(self) -> tuple[float | None, Lens | None, CameraPath | None]:
        camera = self._top.part("camera", None)
        if camera is None:
            return None, None, None
        distance: float | None = camera.real("distance_m", None, above=0.0, unit="m")
        lens, path = camera.part("lens", None), camera.part("path", None)
        bend = read_lens(lens)
        found = distance, bend, read_path(path, bend)
        self._keep("camera", camera)
        for owner, part in (("camera/lens", lens), ("camera/path", path)):
            if part is not None:
                self._keep(owner, part)
        return found

    def _lane(self) -> tuple[float | None, float | None]:
        lane = self._top.part("lane", None)
        if lane is None:
            return None, None
        found = lane.real("offset_m", None, unit="m"), not_below_zero(lane, "offset_u_m", None, unit="m")
        self._keep("lane", lane)
        return found

    def _kept(self, key: str, read: Callable[[Fields | None], T]) -> T:
        """What one object of the sheet says; its unknown keys are kept."""
        part = self._top.part(key, None)
        found = read(part)
        if part is not None:
            self._keep(key, part)
        return found

    def _report_at(self) -> tuple[float, ...]:
        places = self._top.items("report_at_m", None)
        if places is None:
            return (5.0, 10.0)
        return tuple(self._top.checked_real(x, "report_at_m", 0.0, float("inf"), "m") for x in places)

    def _marks(self) -> tuple[GroundMark, ...]:
        marks = []
        for number, part in enumerate(self._top.parts("marks", at_most=MOST), start=1):
            mark = GroundMark(
                id=f"m{number:04d}",
                x_m=part.real("x_m", unit="m"),
                y_m=part.real("y_m", 0.0, unit="m"),
                frame=self._frame(part, "frame", 0),
                u=part.real("u", unit="px"),
                v=part.real("v", unit="px"),
                error_px=_error(part),
                error_m=not_below_zero(part, "error_m", 0.0, unit="m"),
                z_m=part.real("z_m", 0.0, unit="m"),
            )
            marks.append(mark)
            self._keep(f"marks/{mark.id}", part)
        _located("marks", lambda: check_marks(marks))
        return tuple(marks)

    def _start(self) -> StartPush:
        part = self._top.part("start", None)
        if part is None:
            return StartPush()
        start = StartPush(
            self._frame(part, "first_movement", None),
            self._frame(part, "rear_toe_off", None),
            self._frame(part, "front_toe_off", None),
            part.choice("front_side", Side, None),
        )
        self._keep("start", part)
        return start

    def _footfalls(self) -> tuple[Footfall, ...]:
        footfalls: list[Footfall] = []
        places: dict[str, str] = {}
        for number, part in enumerate(self._top.parts("footfalls", at_most=MOST), start=1):
            side = part.choice("side", Side)
            touchdown, toe_off = self._frame(part, "touchdown", None), self._frame(part, "toe_off", None)
            if touchdown is None and toe_off is None:
                part.fault("touchdown", tr("is missing, and so is toe_off; a footfall needs one of them"))
            footfall = Footfall(f"f{number:04d}", side, touchdown, toe_off, part.whole("unsure_frames", None))
            if footfalls and footfall.first_frame < footfalls[-1].first_frame:
                part.fault(
                    "touchdown",
                    tr("the footfall begins before the one that stands above it; list them in order of time"),
                )
            footfalls.append(footfall)
            places[footfall.id] = part.place
            self._keep(f"footfalls/{footfall.id}", part)
        for conflict in conflicts(footfalls):
            raise SheetError(
                f"{joined([places[i] for i in sorted(conflict.footfalls)])}: {conflict.sentence}"
            )
        return tuple(footfalls)

    def _points(self) -> tuple[BodyPoint, ...]:
        points: dict[str, BodyPoint] = {}
        for part in self._top.parts("points"):
            name = part.text("name")
            if name not in POINT_NAMES:
                part.fault(
                    "name",
                    tr("{name!a} is no body point; the names are {names}").format(
                        name=name, names=", ".join(POINT_NAMES)
                    ),
                )
            u, v = part.real("u", unit="px"), part.real("v", unit="px")
            point = BodyPoint(self._frame(part, "frame"), name, u, v, _error(part))
            if point.id in points:
                part.fault(
                    "name", tr("{name} stands twice on frame {frame}").format(name=name, frame=point.frame)
                )
            points[point.id] = point
            self._keep(f"points/{point.id}", part)
        return tuple(points.values())

    def _lines(self) -> tuple[Line, ...]:
        lines = []
        for number, part in enumerate(self._top.parts("lines"), start=1):
            kind, side = part.choice("kind", LineKind), part.choice("side", Side, None)
            lower, upper = part.pair("from"), part.pair("to")
            if lower == upper:
                part.fault("to", tr("is the same place as from; a line needs two"))
            frame = self._frame(part, "frame")
            line = Line(f"l{number:04d}", frame, kind, side, lower, upper, _error(part))
            lines.append(line)
            self._keep(f"lines/{line.id}", part)
        return tuple(lines)

    def _frame(self, part: Fields, key: str, *default: Any) -> Any:
        number = part.whole(key, *default)
        return None if number is None else self._placed(f"{part.place}, {key}", number)

    def _placed(self, place: str, number: int) -> FrameNumber:
        placed = PlacedFrame(place, number)
        if self._film_frames is not None:
            check_frames([placed], self._film_frames)
        self._frames.append(placed)
        return FrameNumber(number)

    def _keep(self, owner: str, part: Fields) -> None:
        unknown = part.unknown()
        if unknown:
            self._unknown[owner] = unknown
            names = ", ".join(key if key.isprintable() else ascii(key) for key in unknown)
            place = part.place or tr("the run sheet")
            note = tr("{place}: unknown keys are kept and not used: {names}.").format(
                place=place, names=names
            )
            self._notes.append(note)


def _error(part: Fields) -> float:
    error: float = part.real("error_px", DEFAULT_ERROR_PX, above=0.0, unit="px")
    return error


def _times(film: Fields, times: list[Any]) -> FrameTimes:
    seconds = [film.checked_real(t, "times_s", -float("inf"), 1e9, "s") for t in times]
    if seconds and seconds[0] != 0.0:
        film.fault("times_s", tr("the first time must be 0"))
    try:
        return FrameTimes.from_seconds(seconds)
    except FilmError as error:
        raise SheetError(tr("film, times_s: {sentence}").format(sentence=error)) from error


def _located(place: str, check: Callable[[], None]) -> None:
    try:
        check()
    except CinderlaneError as error:
        raise SheetError(f"{place}: {error}") from error
