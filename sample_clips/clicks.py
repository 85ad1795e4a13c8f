"""The run sheet of a coach who clicked whole bodies: that of perfect eyes, each click off by a little."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from sample_clips.truth import Truth, one_item_a_line

Json = dict[str, Any]

CLICK_ERROR_PX = 1.5
LONGEST_GAP = 24
"""At most so many frames lie between two bodies."""


def clicked(truth: Truth) -> Json:
    """The truth's run sheet with a whole body at rest, at every event and so often between instead of lines,
    every point off by a random click error.
    """
    rng = np.random.default_rng(int(truth.numbers["seed"]))
    names = [str(name) for name in truth.arrays["names"]]
    pixels = truth.arrays["pixels"]
    whole = {(frame, name) for frame in _frames(truth.sheet) for name in names}
    wanted = whole | {(p["frame"], p["name"]) for p in truth.sheet["points"]}
    points = []
    for frame, name in sorted(wanted, key=lambda each: (each[0], names.index(each[1]))):
        u, v = pixels[frame, names.index(name)] + rng.normal(0.0, CLICK_ERROR_PX, 2)
        place = {"u": round(float(u), 2), "v": round(float(v), 2)}
        points.append({"frame": frame, "name": name, **place, "error_px": CLICK_ERROR_PX})
    return {**truth.sheet, "points": points, "lines": []}


def write_clicked(folder: Path, truth: Truth) -> None:
    """Writes NAME.clicked.json."""
    name = str(truth.numbers["name"])
    (folder / f"{name}.clicked.json").write_text(one_item_a_line(clicked(truth)), encoding="utf-8")


def read_clicked(folder: Path, name: str) -> Json:
    """Reads what ``write_clicked`` wrote."""
    sheet: Json = json.loads((folder / f"{name}.clicked.json").read_text(encoding="utf-8"))
    return sheet


def _frames(sheet: Json) -> list[int]:
    """Frames that hold a whole body: two at rest, the events, and others so that no gap is too long."""
    start = sheet["start"]
    first = int(start["first_movement"])
    events = [first // 2, first - 6, first, int(start["rear_toe_off"]), int(start["front_toe_off"])]
    events += [int(f[key]) for f in sheet["footfalls"] for key in ("touchdown", "toe_off") if f[key]]
    frames = {min(events)}
    for one, other in pairwise(sorted(events)):
        parts = -(-(other - one) // LONGEST_GAP)
        frames |= {round(one + (other - one) * n / parts) for n in range(1, parts + 1)}
    return sorted(frames)
