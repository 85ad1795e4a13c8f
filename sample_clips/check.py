"""Holds a truth against what must be so, from its stored values alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from sample_clips.body import MASS_SUM_PERCENT, POINT_NAMES, Array
from sample_clips.camera import Camera
from sample_clips.com_path import G
from sample_clips.encode import count_frames
from sample_clips.scenario import SIDES
from sample_clips.truth import Truth

MM = 1e-3
LIMBS = (("hip", "knee"), ("knee", "ankle"), ("shoulder", "elbow"), ("elbow", "wrist"))
SEGMENTS = (
    *((f"{side}_{a}", f"{side}_{b}") for side in SIDES for a, b in LIMBS),
    ("mid_back", "neck"),
    ("neck", "head"),
    ("left_hip", "right_hip"),
)
FEET = tuple((f"{side}_heel", f"{side}_toe", row) for row, side in enumerate(SIDES))


def check(truth: Truth, film: Path | None = None) -> dict[str, float]:
    """The greatest departure from each law, by name; `failures` says which are too great.

    With a film, `frames_missing` counts the frames by which it and the truth differ.
    """
    found = {
        "mass_sum_percent": abs(MASS_SUM_PERCENT - 100.0),
        "com_not_ballistic_m": _not_ballistic(truth),
        "foot_slides_m": _slides(truth),
        "length_changes_m": _length_changes(truth),
        "pixels_off_px": _pixels_off(truth),
        "tags_off": _tags_off(truth),
        "step_time_off_s": _step_time_off(truth),
        "speed_off_model_m_s": _speed_off(truth),
        "foot_below_ground_m": _below_ground(truth),
        "joint_speed_m_s": _joint_speed(truth),
        "knee_bends_backwards_deg": _knee_backwards(truth),
    }
    if film is not None:
        found["frames_missing"] = abs(count_frames(film) - len(truth.arrays["times_s"]))
    return found


LIMITS: dict[str, float] = {
    "mass_sum_percent": 1e-9,
    "com_not_ballistic_m": MM,
    "foot_slides_m": MM,
    "length_changes_m": 1e-6,
    "pixels_off_px": 1e-6,
    "tags_off": 0,
    "step_time_off_s": 1e-9,
    "speed_off_model_m_s": 0.1,
    "foot_below_ground_m": 0.0,
    "joint_speed_m_s": 25.0,
    "knee_bends_backwards_deg": 0.0,
    "frames_missing": 0,
}


def failures(found: dict[str, float]) -> list[str]:
    """The laws that are broken, with their numbers."""
    return [
        f"{name}: {value:.3g}, allowed {LIMITS[name]:g}"
        for name, value in found.items()
        if value > LIMITS[name]
    ]


def _point(truth: Truth, name: str) -> Array:
    return np.asarray(truth.arrays["metres"][:, POINT_NAMES.index(name)])


def _flights(truth: Truth) -> list[tuple[float, float]]:
    events = truth.numbers["events"]
    off = [events["front_toe_off_s"], *events["toe_off_s"]]
    return list(zip(off, events["touchdown_s"], strict=False))


def _not_ballistic(truth: Truth) -> float:
    """Centre of mass against the best parabola of g and constant speed, over each flight's frames."""
    times, com = truth.arrays["times_s"], truth.arrays["com_m"]
    worst = 0.0
    for begin, end in _flights(truth):
        inside = (times >= begin) & (times <= end)
        if inside.sum() < 4:
            continue
        t = times[inside] - begin
        for axis, fall in ((0, 0.0), (1, -0.5 * G)):
            place = com[inside, axis] - fall * t**2
            worst = max(worst, float(np.abs(place - np.polyval(np.polyfit(t, place, 1), t)).max()))
    return worst


def _slides(truth: Truth) -> float:
    """Ball of the foot and shoe tip over each contact."""
    worst = 0.0
    for row, side in enumerate(SIDES):
        on = truth.arrays["contact"][:, row]
        for stretch in np.split(np.flatnonzero(on), np.flatnonzero(np.diff(np.flatnonzero(on)) > 1) + 1):
            for place in (truth.arrays["ball_m"][stretch, row], _point(truth, f"{side}_toe")[stretch]):
                if len(stretch):
                    worst = max(worst, float(np.ptp(place, axis=0).max()))
    return worst


def _length_changes(truth: Truth) -> float:
    pairs = [(_point(truth, a), _point(truth, b)) for a, b in SEGMENTS]
    middle = 0.5 * (_point(truth, "left_hip") + _point(truth, "right_hip"))
    pairs.append((middle, _point(truth, "mid_back")))
    for heel, toe, row in FEET:  # the foot bends at its ball
        ball = truth.arrays["ball_m"][:, row]
        pairs += [(_point(truth, heel), ball), (ball, _point(truth, toe))]
    return max(float(np.ptp(np.linalg.norm(b - a, axis=1))) for a, b in pairs)


def _pixels_off(truth: Truth) -> float:
    told = truth.numbers["camera"]
    film = truth.sheet["film"]
    worst = 0.0
    n = len(truth.arrays["times_s"])
    moves = len(told["pan_deg"]) > 1
    places = np.broadcast_to(told["x_m"], n)
    for i in range(n):
        j = i if moves else 0
        camera = Camera(
            float(places[i]),
            told["height_m"],
            told["distance_m"],
            told["focal_px"],
            film["width"],
            film["height"],
            told["pan_deg"][j],
            told["tilt_deg"][j],
            told["roll_deg"][j],
            told["k1"],
            truth.numbers["direction"] == "left",
        )
        seen = camera.project(truth.arrays["metres"][i])
        worst = max(worst, float(np.abs(seen - truth.arrays["pixels"][i]).max()))
    return worst


def _tags_off(truth: Truth) -> float:
    """Tags in the sheet that are not the first frame at or after their event."""
    times, events, sheet = truth.arrays["times_s"], truth.numbers["events"], truth.sheet
    pairs = [
        (sheet["start"][key], events[f"{key}_s"])
        for key in ("first_movement", "rear_toe_off", "front_toe_off")
    ]
    footfalls = sheet["footfalls"]
    if len(footfalls) != len(events["touchdown_s"]):
        return float("inf")
    pairs += [(f["touchdown"], t) for f, t in zip(footfalls, events["touchdown_s"], strict=True)]
    pairs += [(f["toe_off"], t) for f, t in zip(footfalls, events["toe_off_s"], strict=False)]
    return float(sum(not (times[i] >= t > (times[i - 1] if i else -1.0)) for i, t in pairs))


def _step_time_off(truth: Truth) -> float:
    whole = [s for s in truth.numbers["steps"] if "step_time_s" in s]
    return max(abs(float(s["contact_s"] + s["flight_s"] - s["step_time_s"])) for s in whole)


def _speed_off(truth: Truth) -> float:
    """Step-averaged speed of the centre of mass against the curve, from the frames, at every second step."""
    times, com, model = truth.arrays["times_s"], truth.arrays["com_m"][:, 0], truth.numbers["model"]
    worst = 0.0
    for step in truth.numbers["steps"]:
        if "step_time_s" not in step:
            continue
        on, span = step["touchdown_s"], step["step_time_s"]
        went = np.interp(on + span, times, com) - np.interp(on, times, com)
        s = (
            on
            + span / 2
            - truth.numbers["events"]["first_movement_s"]
            - model["start_after_first_movement_s"]
        )
        curve = model["vmax_m_s"] * (1.0 - np.exp(-s / model["tau_s"]))
        worst = max(worst, abs(float(went / span - curve)))
    return worst


def _below_ground(truth: Truth) -> float:
    low = min(
        float(_point(truth, name)[:, 1].min()) for side in SIDES for name in (f"{side}_toe", f"{side}_heel")
    )
    return max(0.0, -low)


def _joint_speed(truth: Truth) -> float:
    times = truth.arrays["times_s"]
    step = np.diff(truth.arrays["metres"], axis=0) / np.diff(times)[:, None, None]
    return float(np.linalg.norm(step, axis=2).max())


def _knee_backwards(truth: Truth) -> float:
    worst = 0.0
    for side in SIDES:
        hip, knee, ankle = (_point(truth, f"{side}_{j}")[:, :2] for j in ("hip", "knee", "ankle"))
        a, b = knee - hip, ankle - knee
        bend = np.degrees(np.arctan2(a[:, 1] * b[:, 0] - a[:, 0] * b[:, 1], np.sum(a * b, axis=1)))
        worst = max(worst, -float(bend.min()))
    return worst
