"""The sample films of drills, as evidence and with their truth."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import sample_clips
from analysis.sheet.drill_sheet import DrillSheet, read_drill_sheet
from analysis.values.drill_film import DrillFilm
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import Athlete, Run

FOLDER = Path(sample_clips.__file__).parent
RATE_HZ = 120
DRILL_CLIPS = ("throw_kneeling", "split_jump")


def drill_clip(name: str) -> tuple[DrillFilm, Evidence, dict[str, Any]]:
    """The film with its reps, what a reading of it rests on, and its truth."""
    sheet = read_drill_sheet(FOLDER / f"{name}.json")
    truth = json.loads((FOLDER / f"{name}.truth.json").read_text(encoding="utf-8"))
    film = DrillFilm("film", "run", "day", "drill", sheet.kind, sheet.reps)
    return film, _evidence(sheet), truth


def _evidence(sheet: DrillSheet) -> Evidence:
    last = max(rep.last for rep in sheet.reps)
    run = Run(
        "run",
        "film",
        sheet.name,
        FrameNumber(0),
        last,
        camera_distance_m=sheet.camera_distance_m,
        marks=sheet.marks,
        points=sheet.points,
        of_drill=True,
    )
    facts = FilmFacts(FrameTimes(tuple(range(last + 1)), Fraction(1, RATE_HZ)), 960, 540)
    return Evidence(run, facts, Athlete("w7", "W7", "male", 1.82, 84.0))
