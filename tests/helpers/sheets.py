"""Run sheets for tests."""

from __future__ import annotations

import copy
from typing import Any

_SHEET: dict[str, Any] = {
    "format": "cinderlane run sheet",
    "version": 1,
    "film": {"path": "clip.mp4", "width": 1280, "height": 720},
    "athlete": {"code": "W7", "sex": "male", "stature_m": 1.82, "mass_kg": 84.0},
    "direction": "right",
    "stretch": [0, 686],
    "marks": [
        {"x_m": 0.0, "y_m": 0.0, "frame": 0, "u": 201.5, "v": 450.2, "error_px": 1.5},
        {"x_m": 5.0, "y_m": 0.0, "frame": 0, "u": 640.25, "v": 450.9, "error_px": 1.5},
        {"x_m": 10.0, "y_m": 0.0, "frame": 0, "u": 1077.75, "v": 451.4, "error_px": 2.0},
    ],
    "start": {"first_movement": 84, "rear_toe_off": 145, "front_toe_off": 195, "front_side": "right"},
    "footfalls": [
        {"side": "left", "touchdown": 207, "toe_off": 250, "unsure_frames": None},
        {"side": "right", "touchdown": 268, "toe_off": 308, "unsure_frames": 2},
        {"side": "left", "touchdown": 330, "toe_off": 366, "unsure_frames": 0},
        {"side": "right", "touchdown": 391, "toe_off": None, "unsure_frames": None},
    ],
    "points": [
        {"frame": 207, "name": "left_toe", "u": 240.1, "v": 446.0, "error_px": 1.5},
        {"frame": 268, "name": "right_toe", "u": 330.7, "v": 446.5, "error_px": 1.5},
        {"frame": 330, "name": "left_toe", "u": 441.3, "v": 447.0, "error_px": 3.0},
    ],
    "lines": [
        {"frame": 207, "kind": "shin", "side": "left", "from": [236.0, 430.0], "to": [252.0, 401.0]},
        {"frame": 207, "kind": "trunk", "side": None, "from": [256.0, 371.0], "to": [290.0, 330.5]},
    ],
    "report_at_m": [5.0, 10.0],
}


def sheet(frames: int = 687, rate_hz: float = 240.0) -> dict[str, Any]:
    """A sound sheet with times, in the order in which it is written."""
    content = copy.deepcopy(_SHEET)
    film = content["film"]
    content["film"] = {
        "path": film["path"],
        "times_s": [round(n / rate_hz, 6) for n in range(frames)],
        "width": film["width"],
        "height": film["height"],
    }
    return content


def without_times() -> dict[str, Any]:
    """The same sheet, for which the film has to be opened."""
    return copy.deepcopy(_SHEET)
