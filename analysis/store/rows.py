"""Values to rows and back, exactly. A row is a mapping of column names to what SQLite stores."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

from analysis.store import judged_rows
from analysis.store.cells import Row, finite, finite_or_none
from analysis.values import paths
from analysis.values.command import FilmEntry
from analysis.values.conditions import AgeGroup
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import (
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

PtsOf = Callable[[int], int | None]
"""The film's presentation time of a frame, or None where nobody knows."""


def frame(name: str, number: int | None, pts_of: PtsOf) -> Row:
    """A frame number and beside it the presentation time of that frame."""
    return {name: number, f"{name}_pts": None if number is None else pts_of(number)}


def athlete_row(athlete: Athlete) -> Row:
    """The row of an athlete."""
    return {
        "id": athlete.id,
        "code": athlete.code,
        "sex": athlete.sex,
        "stature_m": athlete.stature_m,
        "mass_kg": athlete.mass_kg,
        "age": None if athlete.age is None else athlete.age.value,
        "sport": athlete.sport,
    }


def film_row(film: FilmEntry, folder: Path) -> Row:
    """The row of a film, seen from the project's folder."""
    facts = film.facts
    return {
        "id": film.id,
        "path": paths.stored(film.path, folder),
        "fingerprint": film.fingerprint,
        "coach_rate_hz": film.coach_rate_hz,
        "times_pts": None if facts is None else np.array(facts.times.pts, dtype="<i8").tobytes(),
        "time_base": None if facts is None else "{}/{}".format(*facts.times.time_base.as_integer_ratio()),
        "width": None if facts is None else facts.width,
        "height": None if facts is None else facts.height,
        "every": film.every,
    }


def run_row(run: Run, pts_of: PtsOf) -> Row:
    """The row of a run, without its places of report and its parts."""
    return {
        "id": run.id,
        "film_id": run.film_id,
        "athlete_id": run.athlete_id,
        "name": run.name,
        **frame("first_frame", run.first_frame, pts_of),
        **frame("last_frame", run.last_frame, pts_of),
        "direction": run.direction.value,
        "camera_distance_m": run.camera_distance_m,
        "notes": run.notes,
        "unknown_keys": run.unknown_keys,
        **frame("first_movement", run.start.first_movement, pts_of),
        **frame("rear_toe_off", run.start.rear_toe_off, pts_of),
        **frame("front_toe_off", run.start.front_toe_off, pts_of),
        "front_side": None if run.start.front_side is None else run.start.front_side.value,
        "lane_offset_m": run.lane_offset_m,
        "lane_offset_u_m": run.lane_offset_u_m,
        "camera_place_id": run.camera_place_id,
        "count_drafts": int(run.count_drafts),
        "start_drafts": " ".join(run.start.drafts),
        "retags": run.retags,
        "named_good": int(run.named_good),
        "of_drill": int(run.of_drill),
        **judged_rows.conditions_row(run.conditions),
        **judged_rows.overruling_row(run.overruled),
    }


def place_rows(run: Run) -> list[Row]:
    """The rows of the places at which a run is reported."""
    return [{"run_id": run.id, "position": n, "x_m": x} for n, x in enumerate(run.report_at_m)]


def part_row(run_id: str, part: GroundMark | Footfall | BodyPoint | Line, pts_of: PtsOf) -> Row:
    """The row of a mark, footfall, point or line."""
    match part:
        case GroundMark():
            row = {"id": part.id, "x_m": part.x_m, "y_m": part.y_m, **frame("frame", part.frame, pts_of)}
            row |= {"u": part.u, "v": part.v, "error_px": part.error_px}
            row |= {"error_m": part.error_m, "z_m": part.z_m}
        case Footfall():
            row = {"id": part.id, "side": part.side.value, "unsure_frames": part.unsure_frames}
            row |= frame("touchdown", part.touchdown, pts_of) | frame("toe_off", part.toe_off, pts_of)
            row |= {"draft": int(part.draft), "confidence": part.confidence}
        case BodyPoint():
            row = {**frame("frame", part.frame, pts_of), "name": part.name}
            row |= {"u": part.u, "v": part.v, "error_px": part.error_px}
        case Line():
            row = {"id": part.id, **frame("frame", part.frame, pts_of), "kind": part.kind.value}
            row |= {"side": None if part.side is None else part.side.value, "error_px": part.error_px}
            row |= {"lower_u": part.lower[0], "lower_v": part.lower[1]}
            row |= {"upper_u": part.upper[0], "upper_v": part.upper[1]}
    return {"run_id": run_id, **row}


def athlete_of(row: Mapping[str, Any]) -> Athlete:
    """The athlete that a row holds."""
    age = None if row["age"] is None else AgeGroup(row["age"])
    size = finite_or_none(row["stature_m"]), finite_or_none(row["mass_kg"])
    return Athlete(row["id"], row["code"], row["sex"], *size, age, row["sport"])


def film_of(row: Mapping[str, Any], folder: Path) -> FilmEntry:
    """The film that a row holds, seen from the project's folder."""
    facts = None
    if row["times_pts"] is not None:
        pts = tuple(int(p) for p in np.frombuffer(row["times_pts"], dtype="<i8"))
        facts = FilmFacts(FrameTimes(pts, Fraction(row["time_base"])), int(row["width"]), int(row["height"]))
    path = paths.restored(row["path"], folder)
    every = None if row["every"] is None else int(row["every"])
    return FilmEntry(row["id"], path, row["fingerprint"], finite_or_none(row["coach_rate_hz"]), facts, every)


def mark_of(row: Mapping[str, Any]) -> GroundMark:
    """The mark that a row holds."""
    x_m, y_m = finite(row["x_m"]), finite(row["y_m"])
    reals = (row["u"], row["v"], row["error_px"], row["error_m"], row["z_m"])
    return GroundMark(row["id"], x_m, y_m, FrameNumber(row["frame"]), *map(finite, reals))


def footfall_of(row: Mapping[str, Any]) -> Footfall:
    """The footfall that a row holds."""
    if row["touchdown"] is None and row["toe_off"] is None:
        raise ValueError("a footfall without an event")
    sure = row["unsure_frames"]
    return Footfall(
        row["id"],
        Side(row["side"]),
        row["touchdown"],
        row["toe_off"],
        sure,
        draft=bool(row["draft"]),
        confidence=finite_or_none(row["confidence"]),
    )


def point_of(row: Mapping[str, Any]) -> BodyPoint:
    """The body point that a row holds."""
    reals = (row["u"], row["v"], row["error_px"])
    return BodyPoint(FrameNumber(row["frame"]), row["name"], *map(finite, reals))


def line_of(row: Mapping[str, Any]) -> Line:
    """The line that a row holds."""
    side = None if row["side"] is None else Side(row["side"])
    lower = (finite(row["lower_u"]), finite(row["lower_v"]))
    upper = (finite(row["upper_u"]), finite(row["upper_v"]))
    error = finite(row["error_px"])
    return Line(row["id"], FrameNumber(row["frame"]), LineKind(row["kind"]), side, lower, upper, error)


def run_of(row: Mapping[str, Any], places: Sequence[float], parts: Mapping[str, Sequence[Any]]) -> Run:
    """The run that a row holds, with its places of report and its parts by the names of Run's fields."""
    front = None if row["front_side"] is None else Side(row["front_side"])
    events = (row["first_movement"], row["rear_toe_off"], row["front_toe_off"])
    return Run(
        id=row["id"],
        film_id=row["film_id"],
        name=row["name"],
        first_frame=FrameNumber(row["first_frame"]),
        last_frame=FrameNumber(row["last_frame"]),
        direction=Direction(row["direction"]),
        athlete_id=row["athlete_id"],
        camera_distance_m=finite_or_none(row["camera_distance_m"]),
        report_at_m=tuple(finite(x) for x in places),
        notes=row["notes"],
        unknown_keys=row["unknown_keys"],
        lane_offset_m=finite_or_none(row["lane_offset_m"]),
        lane_offset_u_m=finite_or_none(row["lane_offset_u_m"]),
        camera_place_id=row["camera_place_id"],
        count_drafts=bool(row["count_drafts"]),
        retags=row["retags"],
        start=StartPush(*events, front, tuple(row["start_drafts"].split())),
        conditions=judged_rows.conditions_of(row),
        named_good=bool(row["named_good"]),
        overruled=judged_rows.overruling_of(row),
        of_drill=bool(row["of_drill"]),
        **{name: tuple(items) for name, items in parts.items()},
    )
