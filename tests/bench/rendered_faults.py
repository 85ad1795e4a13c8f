"""Runs with known faults as the sample renderer films them, each at 240 and at 30 frames a second.

"Rendered": body, camera and frames are those of a film (``sample_clips.film``), which writes the truth beside
it: the place of each of 19 points in every frame's picture and the times of the events. No pixel is drawn: of
clicks and tags nothing is read from pixels. A coach marks them, 1.5 px off, events judged with a normal
error; the marking goes through a run sheet, as one that is handed in does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from analysis.sheet import read_sheet
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.evidence import Evidence
from analysis.values.starting_bands import bands_for
from sample_clips.film import Film
from sample_clips.scenario import CameraKind, Scenario, Side
from sample_clips.scenarios import CAMERAS
from sample_clips.truth import Truth, truth_of
from tests.bench.coverage_truth import CLICK_PX, JUDGED_S
from tests.bench.judged_truth import OWN_BANDS, Fault, scenario_of

Json = dict[str, Any]


@dataclass(frozen=True)
class Shot:
    """How a run is filmed. ``seed``: which run of a fault."""

    seed: int
    camera: CameraKind
    direction: Side
    distance_m: float


SHOTS = (
    Shot(901, "still", "right", 12.0),
    Shot(902, "still", "left", 14.0),
    Shot(903, "tilted", "right", 11.0),
    Shot(904, "tilted", "left", 12.0),
    Shot(905, "still", "right", 16.0),
)
"""Each is filmed once with each fault."""


def scenario_for(shot: Shot, fault: Fault, rate: int) -> Scenario:
    """A run of one fault before one camera."""
    camera = replace(CAMERAS[shot.camera], distance_m=shot.distance_m)
    return replace(scenario_of(shot.seed, fault, rate), direction=shot.direction, camera=camera)


def evidence_for(shot: Shot, fault: Fault, rate: int) -> Evidence:
    """What a coach marked of it."""
    with np.errstate(divide="ignore"):  # a mark beyond the film's end is never passed
        truth = truth_of(Film(scenario_for(shot, fault, rate)))
    sheet = read_sheet(marked(truth, np.random.default_rng([shot.seed, 9])), Path())
    assert sheet.facts is not None
    assert sheet.athlete is not None
    run = replace(sheet.run, conditions=Conditions(stance=Stance.SPLIT))
    who = replace(sheet.athlete, age=AgeGroup.ADULT)
    bands = bands_for(run, who, [OWN_BANDS] if fault.own_bands else [])
    return Evidence(run, sheet.facts, who, bands=bands)


def marked(truth: Truth, rng: np.random.Generator) -> Json:
    """The run sheet of a coach with a usual eye and hand."""
    times, names = truth.arrays["times_s"], [str(n) for n in truth.arrays["names"]]
    events = truth.numbers["events"]

    def tag(event_s: float) -> int:
        return int(np.searchsorted(times, event_s + rng.normal(0.0, JUDGED_S) - 1e-9))

    start = {key: tag(events[f"{key}_s"]) for key in ("first_movement", "rear_toe_off", "front_toe_off")}
    footfalls = [
        {**fall, "touchdown": tag(on), "toe_off": tag(off)}
        for fall, on, off in zip(
            truth.sheet["footfalls"], events["touchdown_s"], events["toe_off_s"], strict=False
        )
    ]
    # the last step's other leg lands nowhere, so nothing is known of its swing
    footfalls = [fall for fall in footfalls[:10] if fall["toe_off"] < len(times)]
    points = []
    for frame in sorted(set(_frames(start, footfalls, truth.numbers["film"]["fps"]))):
        seen = truth.arrays["pixels"][frame] + rng.normal(0.0, CLICK_PX, (len(names), 2))
        points += [
            {"frame": frame, "name": name, "u": float(u), "v": float(v), "error_px": CLICK_PX}
            for name, (u, v) in zip(names, seen, strict=True)
        ]
    marks = [
        {**mark, "u": mark["u"] + rng.normal(0, CLICK_PX), "v": mark["v"] + rng.normal(0, CLICK_PX)}
        for mark in truth.sheet["marks"]
    ]
    start = {**truth.sheet["start"], **start}
    changed = {"start": start, "footfalls": footfalls, "points": points, "marks": marks, "lines": []}
    return {**truth.sheet, **changed}


def _frames(start: dict[str, int], footfalls: list[Json], rate: float) -> Iterator[int]:
    """Frames with a whole body: at rest, through the push, at every event and before it."""
    first, front = start["first_movement"], start["front_toe_off"]
    yield from (first - 1 - round(n * 0.05 * rate) for n in range(4))
    yield from range(first, front, max(1, round(rate / 30)))
    for frame in (front, *(fall[key] for fall in footfalls for key in ("touchdown", "toe_off"))):
        yield from (frame - 1, frame)
