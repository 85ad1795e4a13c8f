"""A drill sheet: what is marked on a film of a drill, as plain JSON; written beside the sample clips."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from analysis.values.drill_film import DrillEvent, DrillKind, DrillRep
from analysis.values.errors import SheetError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, GroundMark
from analysis.values.words import tr

FORMAT = "cinderlane drill sheet"


@dataclass(frozen=True)
class DrillSheet:
    """``film_path``: beside the sheet. ``reps``: with ids of their own."""

    name: str
    film_path: Path
    kind: DrillKind
    camera_distance_m: float | None
    marks: tuple[GroundMark, ...]
    points: tuple[BodyPoint, ...]
    reps: tuple[DrillRep, ...]


def read_drill_sheet(path: Path) -> DrillSheet:
    """The drill sheet in a file. Raises SheetError where it is none."""
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
        if held["format"] != FORMAT:
            raise ValueError(held["format"])
        return DrillSheet(
            str(held["name"]),
            path.parent / str(held["film"]),
            DrillKind(held["kind"]),
            held.get("camera_distance_m"),
            tuple(_mark(n, one) for n, one in enumerate(held["marks"])),
            tuple(map(_point, held["points"])),
            tuple(map(_rep, held["reps"])),
        )
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise SheetError(tr("{path} is not a drill sheet that can be read.").format(path=path)) from error


def _mark(number: int, held: Mapping[str, Any]) -> GroundMark:
    place = float(held["x_m"]), float(held["y_m"])
    seen = float(held["u"]), float(held["v"]), float(held["error_px"])
    return GroundMark(f"mark{number}", *place, FrameNumber(int(held["frame"])), *seen)


def _point(held: Mapping[str, Any]) -> BodyPoint:
    seen = float(held["u"]), float(held["v"]), float(held["error_px"])
    return BodyPoint(FrameNumber(int(held["frame"])), str(held["name"]), *seen)


def _rep(held: Mapping[str, Any]) -> DrillRep:
    number, of_set = int(held["number"]), int(held["set"])
    events = tuple((DrillEvent(e["event"]), FrameNumber(int(e["frame"]))) for e in held["events"])
    ends = FrameNumber(int(held["first"])), FrameNumber(int(held["last"]))
    return DrillRep(f"{of_set}.{number}", *ends, of_set, number, str(held["cue"]), events)
