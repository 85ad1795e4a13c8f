"""A reading as tables: for notebooks, for CSV, and as the plain JSON of the run sheet."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from analysis.reading.cells import as_csv, number_parts, number_to_json
from analysis.reading.plain_answers import answer_to_json, first_cause_to_json, rhythm_to_json
from analysis.reading.posture_tables import posture_to_json
from analysis.values.estimate import Result
from analysis.values.reading import CameraReading, ForceReading, Reading, SpeedBand, StepReading

if TYPE_CHECKING:
    import pandas as pd

STEP_COLUMNS: tuple[str, ...] = (
    "contact_s",
    "flight_s",
    "step_time_s",
    "step_frequency_hz",
    "step_length_m",
    "step_velocity_m_s",
    "foot_to_foot_speed_m_s",
    "flight_to_contact",
    "duty_factor",
    "speed_gained_m_s",
    "touchdown_distance_m",
    "shin_touchdown_deg",
    "shin_toe_off_deg",
    "trunk_touchdown_deg",
    "com_height_touchdown_m",
)
"""The measures of a step, in the order of the table."""

START_KEYS: tuple[str, ...] = (
    "rear_foot_push_s",
    "front_foot_push_s",
    "first_flight_s",
    "first_step_length_m",
    "trunk_lead_deg",
    "hip_share",
    "projection_deg",
)


def step_table(reading: Reading) -> pd.DataFrame:
    """One row a step: number, side, frames, then every measure with its standard uncertainty and 95 %
    interval.

    Columns carry their unit at the end; beside ``contact_s`` stand ``contact_s_u``, ``contact_s_low`` and
    ``contact_s_high``. Where there is no number the cells are empty.
    """
    import pandas as pd  # a notebook's tool: the window starts without it

    return pd.DataFrame([step_row(step) for step in reading.steps], columns=step_header())


def reading_to_csv(reading: Reading) -> str:
    """The step table as CSV (analysis/reading/cells.py)."""
    header = step_header()
    rows = map(step_row, reading.steps)
    return as_csv(header, ([row[name] for name in header] for row in rows))


def reading_to_json(reading: Reading, *, force: bool = False) -> dict[str, Any]:
    """The reading in the shape of the run sheet's output: plain dictionaries, lists, numbers and
    sentences. ``force``: with what the speed curve means for the forces, a model's results.
    """
    asked = {"model_results": _force_to_json(reading.force)} if force else {}
    return {
        "film": {"frames": reading.frames, "capture_rate_hz": reading.capture_rate_hz},
        "start": {key: number_to_json(getattr(reading.start, key)) for key in START_KEYS},
        "steps": [_step_to_json(step) for step in reading.steps],
        "splits": [
            {
                "x_m": s.x_m,
                "time_s": number_to_json(s.time_s),
                "from_front_toe_off_s": number_to_json(s.from_front_toe_off_s),
            }
            for s in reading.splits
        ],
        "speeds": [
            {
                "x_m": s.x_m,
                "local_m_s": number_to_json(s.local_m_s),
                "model_m_s": number_to_json(s.model_m_s),
                "last_step_m_s": number_to_json(s.last_step_m_s),
                "last_step_from_m": s.last_step_from_m,
                "last_step_to_m": s.last_step_to_m,
                "ways_apart_m_s": None if s.ways_apart_m_s is None else number_to_json(s.ways_apart_m_s),
                "ways_told_apart": s.ways_told_apart,
            }
            for s in reading.speeds
        ],
        "speed_band": _band_to_json(reading.speed_band),
        "lines": [
            {
                "frame": line.frame,
                "kind": line.kind.value,
                "side": line.side.value if line.side else None,
                "angle_deg": number_to_json(line.angle_deg),
            }
            for line in reading.lines
        ],
        "pairs": [
            {
                "measure": p.measure,
                "steps": [p.first_step, p.second_step],
                "difference": number_to_json(p.difference),
                "told_apart": p.told_apart,
                "against": p.against,
            }
            for p in reading.pairs
        ],
        "camera": _camera_to_json(reading.camera),
        **posture_to_json(reading),
        **asked,
        "questions": [answer_to_json(answer) for answer in reading.questions],
        "rhythm": rhythm_to_json(reading.rhythm),
        "first_cause": first_cause_to_json(reading.first_cause),
        "notes": list(reading.notes),
    }


def _camera_to_json(camera: CameraReading | None) -> dict[str, Any] | None:
    if camera is None:
        return None
    numbers = ("roll_deg", "tilt_deg", "distance_m", "bend_px")
    plain: dict[str, Any] = {name: number_to_json(getattr(camera, name)) for name in numbers}
    return plain | {"drift_px": camera.drift_px}


def _force_to_json(force: ForceReading | None) -> dict[str, Any] | None:
    return None if force is None else {f.name: number_to_json(getattr(force, f.name)) for f in fields(force)}


def _band_to_json(band: SpeedBand | None) -> dict[str, list[float]] | None:
    if band is None:
        return None
    return {name: list(getattr(band, name)) for name in ("time_s", "x_m", "v_m_s", "low_m_s", "high_m_s")}


def _step_to_json(step: StepReading) -> dict[str, Any]:
    measures = {name: number_to_json(getattr(step, name)) for name in STEP_COLUMNS}
    return {
        "step": step.step,
        "side": step.side.value,
        "touchdown_s": step.begins_s,
        "toe_off_s": step.lifts_s,
        **measures,
    }


def step_header() -> list[str]:
    """The columns of the step table."""
    header = ["step", "side", "touchdown_frame", "toe_off_frame", "touchdown_s", "toe_off_s"]
    for name in STEP_COLUMNS:
        header += [name, f"{name}_u", f"{name}_low", f"{name}_high"]
    return header


def step_row(step: StepReading) -> dict[str, Any]:
    """A step's cells by column; None where there is no number."""
    row: dict[str, Any] = {
        "step": step.step,
        "side": step.side.value,
        "touchdown_frame": step.touchdown,
        "toe_off_frame": step.toe_off,
        "touchdown_s": step.begins_s,
        "toe_off_s": step.lifts_s,
    }
    for name in STEP_COLUMNS:
        number: Result = getattr(step, name)
        row.update(zip((name, f"{name}_u", f"{name}_low", f"{name}_high"), number_parts(number), strict=True))
    return row
