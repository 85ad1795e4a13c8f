"""The run sheet of a rendered film: what a coach with perfect eyes would have marked."""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_clips.body import Array
from sample_clips.film import Film
from sample_clips.scenario import SIDES
from sample_clips.scene import CONES_X_M, POLE_HEIGHT_M, POLES_X_M

Json = dict[str, Any]

MARK_ERROR_PX = 1.5
REPORT_AT_M = (5.0, 10.0)


def tag(times_s: Array, event_s: float) -> int | None:
    """The first frame at or after an event, None after the film's end."""
    i = int(np.searchsorted(times_s, event_s - 1e-9))
    return i if i < len(times_s) else None


def run_sheet(film: Film) -> Json:
    """The sheet as plain JSON values."""
    scenario, schedule = film.scenario, film.motion.schedule
    times = film.times_s
    rest = scenario.rest_s

    def at(event: float) -> int | None:
        return tag(times, event + rest)

    footfalls = []
    for c in schedule.contacts[2:]:
        on = at(c.on_s)
        if on is not None:
            footfalls.append({"side": c.side, "touchdown": on, "toe_off": at(c.off_s), "unsure_frames": None})
    start = {
        "first_movement": at(0.0),
        "rear_toe_off": at(schedule.rear_toe_off_s),
        "front_toe_off": at(schedule.front_toe_off_s),
        "front_side": scenario.start.front_side,
    }
    return {
        "format": "cinderlane run sheet",
        "version": 1,
        "film": {
            "path": f"{scenario.name}.mp4",
            "times_s": [round(float(t), 9) for t in times],
            "width": scenario.picture.width,
            "height": scenario.picture.height,
        },
        "athlete": {
            "code": scenario.athlete.code,
            "sex": "male",
            "stature_m": scenario.athlete.stature_m,
            "mass_kg": scenario.athlete.mass_kg,
        },
        "direction": scenario.direction,
        "stretch": [0, len(times) - 1],
        "marks": marks_of(film),
        "start": start,
        "footfalls": footfalls,
        "points": _points(film, start, footfalls),
        "lines": _lines(film, start, footfalls),
        "report_at_m": list(REPORT_AT_M),
        "camera": {"distance_m": scenario.camera.distance_m},
    }


def _pixel(film: Film, frame: int, name: str) -> list[float]:
    p = film.pose.points
    if name == "mid_shoulder":
        world = 0.5 * (p["left_shoulder"][frame] + p["right_shoulder"][frame])
    else:
        world = p[name][frame]
    return [round(float(a), 2) for a in film.cameras[frame].project(world)]


def marks_of(film: Film) -> list[Json]:
    """Each mark on the frame where it stands best in the picture (the first one for a still camera)."""
    places = [(x, 0.0) for x in CONES_X_M] + [(x, POLE_HEIGHT_M) for x in POLES_X_M]
    width = film.scenario.picture.width
    marks = []
    for x, y in places:
        world = np.array([x, y, 0.0])
        first = film.cameras[0].project(world)
        frame = 0
        if not 10.0 < first[0] < width - 10.0 or film.cameras[0] != film.cameras[-1]:
            off = [abs(float(c.project(world)[0]) - width / 2.0) for c in film.cameras]
            frame = int(np.argmin(off))
        u, v = film.cameras[frame].project(world)
        if not (0 <= u < width and 0 <= v < film.scenario.picture.height):
            continue
        marks.append(
            {
                "x_m": x,
                "y_m": y,
                "frame": frame,
                "u": round(float(u), 2),
                "v": round(float(v), 2),
                "error_px": MARK_ERROR_PX,
            }
        )
    return marks


def _points(film: Film, start: Json, footfalls: list[Json]) -> list[Json]:
    wanted: list[tuple[int, str]] = []
    first = int(start["first_movement"])
    hips = [first // 6, first // 2, first - 6]
    hips += [start["rear_toe_off"], start["front_toe_off"]]
    for f in footfalls:
        on, off = f["touchdown"], f["toe_off"]
        hips += [i for i in (on, off) if i is not None]
        wanted.append((on, f"{f['side']}_toe"))
        if off is not None:
            wanted.append(((on + off) // 2, f"{f['side']}_toe"))
    wanted += [(i, f"{side}_hip") for i in hips for side in SIDES]
    wanted += [(first // 2, f"{side}_toe") for side in SIDES]
    out = []
    for frame, name in sorted(set(wanted)):
        u, v = _pixel(film, frame, name)
        out.append({"frame": frame, "name": name, "u": u, "v": v, "error_px": 1.5})
    return out


def _lines(film: Film, start: Json, footfalls: list[Json]) -> list[Json]:
    """Trunk and stance shin at every touchdown and toe-off, trunk also at rest."""
    front = str(start["front_side"])
    rear = "left" if front == "right" else "right"
    events = [(int(start["rear_toe_off"]), rear), (int(start["front_toe_off"]), front)]
    for f in footfalls:
        events += [(i, f["side"]) for i in (f["touchdown"], f["toe_off"]) if i is not None]
    rest = int(start["first_movement"]) // 2
    lines = [_line(film, rest, "trunk", front, "mid_hip", "mid_shoulder")]
    for frame, side in events:
        lines.append(_line(film, frame, "trunk", side, "mid_hip", "mid_shoulder"))
        lines.append(_line(film, frame, "shin", side, f"{side}_ankle", f"{side}_knee"))
    return lines


def _line(film: Film, frame: int, kind: str, side: str, low: str, high: str) -> Json:
    return {
        "frame": frame,
        "kind": kind,
        "side": side if kind == "shin" else None,
        "from": _pixel(film, frame, low),
        "to": _pixel(film, frame, high),
    }
