"""Evidence for tests, from the sample clips' run sheets."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from analysis.sheet import read_sheet
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.run import Athlete
from analysis.values.tracks import Standing, Tracks

SAMPLES = Path(__file__).parents[3] / "sample_clips"


def evidence_of(sheet: dict[str, Any]) -> Evidence:
    """The run of a sheet with the film that it names."""
    found = read_sheet(sheet, SAMPLES)
    assert found.facts is not None
    return Evidence(found.run, found.facts, found.athlete)


def sample(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """A sample clip's run sheet and its truth."""
    sheet = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    truth = json.loads((SAMPLES / f"{name}.truth.json").read_text(encoding="utf-8"))
    return sheet, truth


def followed_truth(name: str) -> tuple[Evidence, dict[str, Any], dict[str, Any]]:
    """A clip whose true points stand for followed ones, its truth, and the arrays beside it."""
    sheet, truth = sample(name)
    evidence = evidence_of(sheet)
    with np.load(SAMPLES / f"{name}.truth.npz") as arrays:
        held = {key: arrays[key] for key in ("names", "pixels", "metres", "com_m")}
    names = tuple(str(n) for n in held["names"])
    pixels = held["pixels"]
    tracks = Tracks(
        "true",
        FrameNumber(0),
        names,
        pixels.astype(float),
        np.full(pixels.shape[:2], 0.3),
        np.full(pixels.shape[:2], Standing.FOLLOWED, dtype=np.uint8),
        np.full(len(names), 6.0),
    )
    run = replace(evidence.run, points=(), lines=())
    athlete = evidence.athlete or Athlete("a", "A")
    evidence = replace(evidence, run=run, athlete=replace(athlete, sex="male"), tracks=tracks)
    return evidence, truth, held
