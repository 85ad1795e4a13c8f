"""Posture as tables: measures at the events, curves over the frames, the way of the centre of mass."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from analysis.reading.cells import as_csv, number_columns, number_parts, number_to_json, under_unit
from analysis.values.estimate import NoValue
from analysis.values.measures import RATIO
from analysis.values.posture import Floats, MassPath, PostureReading, Series, Whole
from analysis.values.reading import Reading

_UNITS = ("deg", "deg_s", "m", "m_s", "s", RATIO)
"""In which measures of posture are."""
POSTURE_COLUMNS = (
    *("step", "moment", "side", "measure"),
    *(column for unit in _UNITS for column in number_columns(f"value_{unit}")),
    *("partial", "guessed", "frames", "reason"),
)
PATH_COLUMNS = ("com_u_px", "com_v_px", "com_x_m", "com_y_m", "com_x_m_u", "com_y_m_u")


def posture_to_json(reading: Reading) -> dict[str, Any]:
    """The keys ``posture``, ``series`` and ``mass_path`` of a reading's JSON (docs/run-sheet.md)."""
    return {
        "posture": [_row_to_json(row) for row in reading.posture],
        "series": [_series_to_json(series) for series in reading.series],
        "mass_path": None if reading.mass_path is None else _path_to_json(reading.mass_path),
    }


def posture_to_csv(reading: Reading) -> str:
    """One row for each measure of posture at its event; ``frames`` parted by spaces."""
    return as_csv(POSTURE_COLUMNS, (posture_cells(row) for row in reading.posture))


def curves_to_csv(reading: Reading) -> str:
    """One row for each frame on which an angle or the centre of mass is known: every curve with its standard
    uncertainty (``_u``), empty where it is not known.
    """
    return as_csv(*curves(reading))


def curves(reading: Reading) -> tuple[tuple[str, ...], list[list[float | None]]]:
    """The same as a header, ``frame`` first, and rows."""
    columns: dict[str, Mapping[int, float | None]] = {}
    for series in reading.series:
        name = _column(series)
        columns[name] = _by_frame(series.frames, series.value)
        columns[f"{name}_u"] = _by_frame(series.frames, series.u)
    path = reading.mass_path
    if path is not None:
        values = (*path.pixels.T, *path.metres.T, *path.u_m.T)
        columns |= {n: _by_frame(path.frames, v) for n, v in zip(PATH_COLUMNS, values, strict=True)}
    frames = sorted({frame for column in columns.values() for frame in column})
    rows = [[frame, *(column.get(frame) for column in columns.values())] for frame in frames]
    return ("frame", *columns), rows


def _row_to_json(row: PostureReading) -> dict[str, Any]:
    return {
        "measure": row.measure,
        "step": row.step,
        "moment": row.moment.value,
        "side": None if row.side is None else row.side.value,
        "number": number_to_json(row.result),
        "frames": [int(frame) for frame in row.frames],
        "partial": row.partial,
        "guessed": row.guessed,
        "wanted": [{"frame": int(frame), "name": name} for frame, name in row.wanted],
    }


def posture_cells(row: PostureReading) -> list[object]:
    """The cells of one measure, in the order of ``POSTURE_COLUMNS``."""
    reason = row.result.reason if isinstance(row.result, NoValue) else None
    side = None if row.side is None else row.side.value
    frames = " ".join(str(int(frame)) for frame in row.frames)
    flags = (int(row.partial), int(row.guessed))
    named = (row.step, row.moment.value, side, row.measure)
    number = under_unit(row.measure, _UNITS, number_parts(row.result))
    return [*named, *number, *flags, frames, reason]


def _series_to_json(series: Series) -> dict[str, Any]:
    return {
        "measure": series.measure,
        "side": None if series.side is None else series.side.value,
        "frames": series.frames.tolist(),
        "value": _plain(series.value),
        "u": _plain(series.u),
        "guessed": series.guessed.tolist(),
    }


def _path_to_json(path: MassPath) -> dict[str, Any]:
    return {
        "frames": path.frames.tolist(),
        "u_px": _plain(path.pixels[:, 0]),
        "v_px": _plain(path.pixels[:, 1]),
        "x_m": _plain(path.metres[:, 0]),
        "y_m": _plain(path.metres[:, 1]),
        "x_u_m": _plain(path.u_m[:, 0]),
        "y_u_m": _plain(path.u_m[:, 1]),
        "partial": path.partial.tolist(),
        "guessed": path.guessed.tolist(),
    }


def _column(series: Series) -> str:
    return series.measure if series.side is None else f"{series.side.value}_{series.measure}"


def _by_frame(frames: Whole, values: Floats) -> dict[int, float | None]:
    return dict(zip(frames.tolist(), _plain(values), strict=True))


def _plain(values: Floats) -> list[float | None]:
    """Numbers, None in place of what is no number: JSON has none such."""
    return [v if math.isfinite(v) else None for v in values.tolist()]
