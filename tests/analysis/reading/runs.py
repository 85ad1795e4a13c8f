"""Runs for tests: from a run sheet's JSON, as it is described for people who script."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import (
    DEFAULT_ERROR_PX,
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

SAMPLES = Path(__file__).parents[3] / "sample_clips"


def frame(number: int | None) -> FrameNumber | None:
    return None if number is None else FrameNumber(number)


def run_of(sheet: dict[str, Any]) -> Run:
    """The run that a sheet describes."""
    start = sheet.get("start", {})
    front = start.get("front_side")
    first, last = sheet["stretch"]
    return Run(
        id="run",
        film_id="film",
        name="run",
        first_frame=FrameNumber(first),
        last_frame=FrameNumber(last),
        direction=Direction(sheet.get("direction", "right")),
        camera_distance_m=sheet.get("camera", {}).get("distance_m"),
        report_at_m=tuple(sheet.get("report_at_m", (5.0, 10.0))),
        start=StartPush(
            frame(start.get("first_movement")),
            frame(start.get("rear_toe_off")),
            frame(start.get("front_toe_off")),
            Side(front) if front else None,
        ),
        marks=tuple(
            GroundMark(
                f"m{n}",
                m["x_m"],
                m["y_m"],
                FrameNumber(m["frame"]),
                m["u"],
                m["v"],
                m.get("error_px", DEFAULT_ERROR_PX),
            )
            for n, m in enumerate(sheet.get("marks", []))
        ),
        footfalls=tuple(
            Footfall(
                f"f{n}", Side(f["side"]), frame(f["touchdown"]), frame(f["toe_off"]), f.get("unsure_frames")
            )
            for n, f in enumerate(sheet.get("footfalls", []))
        ),
        points=tuple(
            BodyPoint(FrameNumber(p["frame"]), p["name"], p["u"], p["v"], p.get("error_px", DEFAULT_ERROR_PX))
            for p in sheet.get("points", [])
        ),
        lines=tuple(
            Line(
                f"l{n}",
                FrameNumber(p["frame"]),
                LineKind(p["kind"]),
                Side(p["side"]) if p["side"] else None,
                (p["from"][0], p["from"][1]),
                (p["to"][0], p["to"][1]),
            )
            for n, p in enumerate(sheet.get("lines", []))
        ),
    )


def evidence_of(sheet: dict[str, Any]) -> Evidence:
    """The run of a sheet with the film that it names."""
    film = sheet["film"]
    facts = FilmFacts(FrameTimes.from_seconds(film["times_s"]), film["width"], film["height"])
    return Evidence(run_of(sheet), facts)


def sample(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """A sample clip's run sheet and its truth."""
    sheet = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    truth = json.loads((SAMPLES / f"{name}.truth.json").read_text(encoding="utf-8"))
    return sheet, truth
