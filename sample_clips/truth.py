"""Everything that is exactly known about a rendered film, and the files that hold it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import POINT_NAMES
from sample_clips.film import Film
from sample_clips.measure import DEFINITIONS, Measures
from sample_clips.motion import contacts_at
from sample_clips.scenario import SIDES
from sample_clips.sheet import REPORT_AT_M, run_sheet

Json = dict[str, Any]


@dataclass(frozen=True)
class Truth:
    """`sheet`: the run sheet; `numbers`: what a sheet lacks; `arrays`: per-frame values (see `arrays_of`)."""

    sheet: Json
    numbers: Json
    arrays: dict[str, NDArray[Any]]


def truth_of(film: Film) -> Truth:
    """The truth of a film; nothing is drawn."""
    return Truth(run_sheet(film), numbers_of(film), arrays_of(film))


def arrays_of(film: Film) -> dict[str, NDArray[Any]]:
    """Per-frame arrays, n frames.

    `times_s` (n,); `names` (19,); `pixels` (n, 19, 2) u, v of the shown picture; `metres` (n, 19, 3) x, y, z;
    `com_m` (n, 3); `contact` (n, 2) left, right foot on the ground; `ball_m` and `knuckle_m` (n, 2, 3) left,
    right: the joint at the ball of the foot and the third knuckle, from which nothing in a sheet is made.
    """
    points = film.pose.points
    metres = np.stack([points[n] for n in POINT_NAMES], axis=1)
    pixels = np.stack([c.project(p) for c, p in zip(film.cameras, metres, strict=True)])
    return {
        "times_s": film.times_s,
        "names": np.array(POINT_NAMES),
        "pixels": pixels,
        "metres": metres,
        "com_m": film.pose.com,
        "contact": np.stack([contacts_at(film.motion.schedule, s, film.run_s) for s in SIDES], axis=1),
        "ball_m": np.stack([points[f"{s}_ball"] for s in SIDES], axis=1),
        "knuckle_m": np.stack([points[f"{s}_knuckle"] for s in SIDES], axis=1),
    }


def numbers_of(film: Film) -> Json:
    """Events, steps, speeds, camera and faults as plain JSON values."""
    scenario = film.scenario
    measures = Measures(film.motion, float(film.times_s[-1]))
    camera = film.cameras[0]
    return {
        "format": "cinderlane sample truth",
        "version": 1,
        "name": scenario.name,
        "seed": scenario.seed,
        "definitions": DEFINITIONS,
        "film": {
            "frames": scenario.picture.frames,
            "fps": scenario.picture.fps,
            "shutter_s": scenario.picture.shutter_s,
        },
        "direction": scenario.direction,
        "near_side": film.near_side,
        "events": measures.events(),
        "start": measures.start(),
        "steps": measures.steps(),
        "marks": measures.marks(REPORT_AT_M),
        "model": measures.model(),
        "camera": {
            "kind": scenario.camera.kind,
            "x_m": _places(film),
            "height_m": camera.height,
            "distance_m": camera.distance,
            "focal_px": camera.focal,
            "principal_point_px": [float(a) for a in camera.centre],
            "k1": camera.k1,
            "pan_deg": [c.pan for c in _distinct(film)],
            "tilt_deg": [c.tilt for c in _distinct(film)],
            "roll_deg": [c.roll for c in _distinct(film)],
        },
        "athlete": {k: v for k, v in asdict(scenario.athlete).items() if not isinstance(v, tuple)},
        "hidden_faults": list(scenario.faults),
    }


def _places(film: Film) -> float | list[float]:
    """Where the camera stands along the line, m; one place a frame where it walks."""
    places = [c.x for c in film.cameras]
    return places[0] if len(set(places)) == 1 else places


def _distinct(film: Film) -> list[Any]:
    """One camera where it never moves, else one a frame."""
    still = all(c == film.cameras[0] for c in film.cameras)
    return film.cameras[:1] if still else film.cameras


def write_truth(folder: Path, truth: Truth) -> None:
    """Writes NAME.json, NAME.truth.json and NAME.truth.npz."""
    name = str(truth.numbers["name"])
    (folder / f"{name}.json").write_text(one_item_a_line(truth.sheet), encoding="utf-8")
    (folder / f"{name}.truth.json").write_text(json.dumps(truth.numbers, indent=1) + "\n", encoding="utf-8")
    np.savez_compressed(folder / f"{name}.truth.npz", allow_pickle=False, **truth.arrays)


def read_truth(folder: Path, name: str) -> Truth:
    """Reads what `write_truth` wrote."""
    sheet = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
    numbers = json.loads((folder / f"{name}.truth.json").read_text(encoding="utf-8"))
    with np.load(folder / f"{name}.truth.npz", allow_pickle=False) as stored:
        arrays = {key: stored[key] for key in stored.files}
    return Truth(sheet, numbers, arrays)


def one_item_a_line(sheet: Json) -> str:
    """JSON in which each mark, footfall, point and line stands on a line of its own."""
    parts = []
    for key, value in sheet.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            items = ",\n  ".join(json.dumps(item) for item in value)
            parts.append(f" {json.dumps(key)}: [\n  {items}\n ]")
        else:
            parts.append(f" {json.dumps(key)}: {json.dumps(value)}")
    return "{\n" + ",\n".join(parts) + "\n}\n"
