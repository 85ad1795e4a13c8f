"""Films of drills without pictures: places in metres, seen by a camera that stands square on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

import numpy as np

from analysis.reading.drills import DrillReading, read_drill
from analysis.values.conditions import Conditions
from analysis.values.drill_film import DrillEvent, DrillFilm, DrillKind, DrillRep
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import Athlete, BodyPoint, GroundMark, Run

PX_PER_M, LEFT_PX, GROUND_PX = 140.0, 60.0, 620.0
CAMERA_M = 10.0
MARKS_M = ((0.0, 0.0), (8.0, 0.0), (0.0, 2.0), (8.0, 2.0), (4.0, 0.0), (4.0, 2.0))


EYE_M = ((1279 / 2 - LEFT_PX) / PX_PER_M, 1.2)
BESIDE_M = {"shoulder": 0.18, "hip": 0.09, "knee": 0.095, "ankle": 0.10, "heel": 0.10, "toe": 0.10}
"""How far each joint of this figure is beside its middle."""


def pixel(x: float, y: float, nearer: float = 0.0) -> tuple[float, float]:
    """Where a place is seen that lies ``nearer`` to the camera than the plane of the marks, m."""
    grown = CAMERA_M / (CAMERA_M - nearer)
    x, y = EYE_M[0] + (x - EYE_M[0]) * grown, EYE_M[1] + (y - EYE_M[1]) * grown
    return LEFT_PX + PX_PER_M * x, GROUND_PX - PX_PER_M * y


def _nearer(name: str) -> float:
    """The athlete goes to the right: the right side is the near one."""
    side, _, joint = name.partition("_")
    return {"right": 1.0, "left": -1.0}.get(side, 0.0) * BESIDE_M.get(joint, 0.0)


def evidence_of(
    places: Mapping[str, Mapping[int, tuple[float, float]]],
    frames: int,
    rate_hz: int,
    error_px: float = 0.5,
    noise: np.random.Generator | None = None,
    marks_error_px: float | None = None,
    conditions: Conditions | None = None,
) -> Evidence:
    """``places``: of each point, m, by frame; seen as they are, or off by clicks drawn from ``noise``."""

    def click(u_v: tuple[float, float], u_px: float) -> tuple[float, float]:
        off = np.zeros(2) if noise is None else noise.normal(0.0, u_px, 2)
        return float(u_v[0] + off[0]), float(u_v[1] + off[1])

    error_of_marks = error_px if marks_error_px is None else marks_error_px
    marks = tuple(
        GroundMark(f"m{n}", x, y, FrameNumber(0), *click(pixel(x, y), error_of_marks), error_of_marks)
        for n, (x, y) in enumerate(MARKS_M)
    )
    points = tuple(
        BodyPoint(FrameNumber(frame), name, *click(pixel(*place, _nearer(name)), error_px), error_px)
        for name, on in places.items()
        for frame, place in on.items()
    )
    run = Run(
        "run",
        "film",
        "a drill",
        FrameNumber(0),
        FrameNumber(frames - 1),
        marks=marks,
        points=points,
        camera_distance_m=CAMERA_M,
        conditions=conditions or Conditions(),
        of_drill=True,
    )
    facts = FilmFacts(FrameTimes(tuple(range(frames)), Fraction(1, rate_hz)), 1280, 720)
    return Evidence(run, facts, Athlete("a", "W7", "male", 1.82, 84.0))


def rep(number: int, first: int, last: int, *events: tuple[DrillEvent, int], set_number: int = 1) -> DrillRep:
    """A repetition with its events."""
    ends = FrameNumber(first), FrameNumber(last)
    tagged = tuple((event, FrameNumber(frame)) for event, frame in events)
    return DrillRep(f"rep{set_number}.{number}", *ends, set_number, number, events=tagged)


def film_of(kind: DrillKind, reps: Iterable[DrillRep]) -> DrillFilm:
    """A film of a drill of these repetitions."""
    return DrillFilm("film", "run", "day", "drill", kind, tuple(reps))


def reading_of(kind: DrillKind, evidence: Evidence, *reps: DrillRep) -> DrillReading:
    """What such a film says."""
    return read_drill(film_of(kind, reps), evidence)
