"""Films of runs with known faults, drawn by the sample renderer, each at 240 and at 30 frames a second.

A coach's work on them, all of it on the film: marks and 19 points of the body clicked on every 12th frame
(every second at 30 a second), the points followed between by the program's own follower through the drawn
pictures, events judged on the frames. Where a click would be exact says the truth beside the film; clicks are
off by a normal error, events judged with one. The film of 30 frames a second holds every eighth picture of
the other one: the same run, the same shutter. The marking goes through a run sheet, as one that is handed in
does. Films and tracks are kept in a folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.sheet import read_sheet
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.evidence import Evidence
from analysis.values.starting_bands import bands_for
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import read_tracks, write_tracks
from sample_clips.encode import write_film
from sample_clips.film import Film
from sample_clips.scenario import CameraKind, Scenario, Side
from sample_clips.scenarios import CAMERAS
from sample_clips.truth import Truth, truth_of
from tests.bench.coverage_truth import CLICK_PX, JUDGED_S
from tests.bench.judged_truth import OWN_BANDS, Fault, scenario_of

Json = dict[str, Any]
Picture = npt.NDArray[np.uint8]

WIDTH, HEIGHT = 960, 540
FAST, SLOW = 240, 30
FRAMES = 576
"""2.4 s: the start and seven whole steps."""
OFF_PX = CLICK_PX * WIDTH / 1280
"""A click's error, as large a part of the picture as elsewhere."""
EVERY = {FAST: 12, SLOW: 2}


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
    Shot(906, "still", "left", 13.0),
)
"""Each is filmed once with each fault."""


def scenario_for(shot: Shot, fault: Fault) -> Scenario:
    """A run of one fault before one camera."""
    scenario = scenario_of(shot.seed, fault, FAST)
    picture = replace(scenario.picture, width=WIDTH, height=HEIGHT, frames=FRAMES, exposures=2)
    camera = replace(CAMERAS[shot.camera], distance_m=shot.distance_m)
    return replace(scenario, direction=shot.direction, camera=camera, picture=picture)


def evidence_for(shot: Shot, fault: Fault, rate: int, folder: Path) -> Evidence:
    """What a coach marked of the film, and what was followed on it."""
    drawn = Film(scenario_for(shot, fault))
    with np.errstate(divide="ignore"):  # a mark beyond the film's end is never passed
        truth = truth_of(drawn)
    path = _film(drawn, rate, folder / f"{_name(shot, fault)}_{rate}.mp4")
    film = open_film(path)
    marking = marked(truth, rate, np.random.default_rng([shot.seed, rate, 9]))
    sheet = read_sheet(marking, folder)
    assert sheet.athlete is not None
    run = replace(sheet.run, conditions=Conditions(stance=Stance.SPLIT))
    who = replace(sheet.athlete, age=AgeGroup.ADULT)
    bands = bands_for(run, who, [OWN_BANDS] if fault.own_bands else [])
    kept = path.with_suffix(".tracks.npz")
    if not kept.exists():
        frames = [int(point.frame) for point in run.points]
        write_tracks(follow_points(film, run.points, min(frames), max(frames), run.direction), kept)
    tracks: Tracks = read_tracks(kept)
    return Evidence(run, film.facts, who, bands=bands, tracks=tracks)


def _name(shot: Shot, fault: Fault) -> str:
    """Of a film: by what was put in, whoever judges it."""
    put_in = [name for name in ("opens", "far", "late", "long") if getattr(fault, name)]
    return f"{'_'.join(put_in) or 'nothing'}_{shot.seed}"


def _film(drawn: Film, rate: int, path: Path) -> Path:
    """The film, drawn where it is not there already: both of a run at once."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        every = FAST // SLOW
        kept: list[Picture] = []

        def pictures() -> Iterator[Picture]:
            for i in range(FRAMES):
                picture = drawn.frame(i)
                if i % every == 0:
                    kept.append(picture)
                yield picture

        crf = drawn.scenario.picture.crf
        stem = path.with_name(path.stem.rpartition("_")[0])
        for of_rate, frames in ((FAST, pictures()), (SLOW, kept)):
            part = stem.with_name(f"{stem.name}_part.mp4")
            write_film(part, frames, WIDTH, HEIGHT, float(of_rate), crf)
            part.rename(stem.with_name(f"{stem.name}_{of_rate}.mp4"))
    return path


def marked(truth: Truth, rate: int, rng: np.random.Generator) -> Json:
    """The run sheet of a coach with a usual eye and hand."""
    every = FAST // rate
    times, pixels = truth.arrays["times_s"][::every], truth.arrays["pixels"][::every]
    names, events = [str(n) for n in truth.arrays["names"]], truth.numbers["events"]

    def tag(event_s: float) -> int:
        return int(np.searchsorted(times, event_s + rng.normal(0.0, JUDGED_S) - 1e-9))

    start = {key: tag(events[f"{key}_s"]) for key in ("first_movement", "rear_toe_off", "front_toe_off")}
    footfalls = [
        {**fall, "touchdown": tag(on), "toe_off": tag(off)}
        for fall, on, off in zip(
            truth.sheet["footfalls"], events["touchdown_s"], events["toe_off_s"], strict=False
        )
    ]
    footfalls = [fall for fall in footfalls if fall["toe_off"] < len(times)]
    points = []
    for frame in range(0, len(times), EVERY[rate]):
        seen = pixels[frame] + rng.normal(0.0, OFF_PX, (len(names), 2))
        points += [
            {"frame": frame, "name": name, "u": float(u), "v": float(v), "error_px": OFF_PX}
            for name, (u, v) in zip(names, seen, strict=True)
            if 0 <= u <= WIDTH - 1 and 0 <= v <= HEIGHT - 1
        ]
    marks = [
        {
            **mark,
            "u": mark["u"] + rng.normal(0, OFF_PX),
            "v": mark["v"] + rng.normal(0, OFF_PX),
            "error_px": OFF_PX,
        }
        for mark in truth.sheet["marks"]
    ]
    return {
        **truth.sheet,
        "film": {"times_s": times.tolist(), "width": WIDTH, "height": HEIGHT},
        "stretch": [0, len(times) - 1],
        "start": {**truth.sheet["start"], **start},
        "footfalls": footfalls,
        "points": points,
        "marks": marks,
        "lines": [],
    }
