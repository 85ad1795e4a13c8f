"""Lens, camera path, lane and tagging error in a run sheet, in and out."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from analysis.sheet.fields import Fields
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.film import FrameNumber
from analysis.values.run import Run
from analysis.values.tagging import TaggingError
from analysis.values.words import tr

_Json = dict[str, Any]


def read_lens(part: Fields | None) -> Lens | None:
    """The lens of a sheet's camera."""
    if part is None:
        return None
    k1, focal = part.real("k1", unit=""), part.real("focal_px", above=0.0, unit="px")
    return Lens(k1, focal, part.pair("centre"), not_below_zero(part, "k1_u", 0.0, unit=""))


def read_path(part: Fields | None, lens: Lens | None) -> CameraPath | None:
    """The path of a sheet's camera; an error that is null stands for a frame that can't be tied.

    ``lens``: the camera's, with which the path was followed unless it says another one, or null for none.
    """
    if part is None:
        return None
    own = part.part("lens", None)
    followed_with = lens if own is None and not part.is_null("lens") else read_lens(own)
    kind = part.choice("kind", CameraKind)
    reference, first = part.whole("reference", 0), part.whole("first", 0)
    rows, errors = part.items("maps", []), part.items("error_px", [])
    if len(rows) != len(errors):
        part.fault("error_px", tr("must hold one number for every map"))
    maps = []
    for row in rows:
        if not isinstance(row, list) or len(row) != 9:
            part.fault("maps", tr("must hold nine numbers for every frame"))
        maps.append([part.checked_real(n, "maps", -math.inf, math.inf, "") for n in row])
    error = [
        math.inf if e is None else part.checked_real(e, "error_px", -1e-12, math.inf, "px") for e in errors
    ]
    return CameraPath(
        kind,
        FrameNumber(reference),
        FrameNumber(first),
        np.array(maps, dtype=np.float64).reshape(-1, 3, 3),
        np.array(error, dtype=np.float64),
        part.real("parallax_px", 0.0, unit="px"),
        followed_with,
    )


def read_tagging(part: Fields | None) -> TaggingError | None:
    """The coach's own tagging error."""
    if part is None:
        return None
    return TaggingError(not_below_zero(part, "s_s", unit="s"), part.whole("pairs"))


def not_below_zero(part: Fields, key: str, *default: float | None, unit: str) -> Any:
    """A finite number from 0."""
    value = part.real(key, *default, unit=unit)
    if value is not None and value < 0:
        part.fault(key, tr("must not be below 0"))
    return value


def camera_to_json(run: Run, lens: Lens | None, path: CameraPath | None) -> _Json:
    """The object under ``camera``; empty where nothing is known of it."""
    camera: _Json = {}
    if run.camera_distance_m is not None:
        camera["distance_m"] = run.camera_distance_m
    if lens is not None:
        camera["lens"] = _lens_to_json(lens)
    if path is not None:
        camera["path"] = {
            "kind": path.kind.value,
            "reference": path.reference,
            "first": path.first,
            "maps": path.maps.reshape(-1, 9).tolist(),
            "error_px": [e if math.isfinite(e) else None for e in path.error_px.tolist()],
            "parallax_px": path.parallax_px,
        }
        if path.lens != lens:
            camera["path"]["lens"] = None if path.lens is None else _lens_to_json(path.lens)
    return camera


def _lens_to_json(lens: Lens) -> _Json:
    return {"k1": lens.k1, "focal_px": lens.focal_px, "centre": list(lens.centre), "k1_u": lens.k1_u}


def lane_to_json(run: Run) -> _Json:
    """The object under ``lane``; empty where nobody gave the athlete's."""
    lane = {"offset_m": run.lane_offset_m, "offset_u_m": run.lane_offset_u_m}
    return {key: value for key, value in lane.items() if value is not None}
