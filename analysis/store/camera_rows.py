"""Rows of camera places, of films' cameras and of tagging samples, and back, exactly."""

from __future__ import annotations

import math
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from analysis.store.cells import Row, finite, finite_or_none
from analysis.store.rows import PtsOf, frame
from analysis.store.tables import LENS
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from analysis.values.tagging import TaggingError, TaggingSample

Floats = npt.NDArray[np.float64]

_MARK = ("x_m", "y_m", "z_m", "u", "v", "error_px", "error_m")


def camera_place_row(place: CameraPlace) -> Row:
    """The row of a camera place, without its marks."""
    row: Row = {"id": place.id, "name": place.name, "distance_m": place.distance_m}
    return row | _lens_row(place.lens)


def camera_place_mark_rows(place: CameraPlace) -> list[Row]:
    """The rows of its marks."""
    return [
        {"camera_place_id": place.id, "id": m.id} | {name: getattr(m, name) for name in _MARK}
        for m in place.marks
    ]


def film_camera_row(camera: FilmCamera, pts_of: PtsOf) -> Row:
    """The row of what is known of a film's camera."""
    path = camera.path
    row: Row = {
        "film_id": camera.id,
        "kind": None if path is None else path.kind.value,
        "maps": None if path is None else _packed(path.maps),
        "error_px": None if path is None else _packed(path.error_px),
        "parallax_px": None if path is None else path.parallax_px,
        "to_place": np.array(camera.to_place, dtype="<f8").tobytes(),
        "to_place_error_px": camera.to_place_error_px,
    }
    row |= frame("reference", None if path is None else path.reference, pts_of)
    row |= frame("first", None if path is None else path.first, pts_of)
    return row | _lens_row(camera.lens) | _lens_row(None if path is None else path.lens, "path_")


def tagging_row(sample: TaggingSample) -> Row:
    """The row of a tagging sample."""
    return {
        "id": sample.id,
        "coach": sample.coach,
        "s_s": sample.error.s_s,
        "pairs": sample.error.pairs,
    }


def camera_place_of(row: Mapping[str, Any], marks: Sequence[Mapping[str, Any]]) -> CameraPlace:
    """The camera place that a row and those of its marks hold."""
    placed = tuple(
        GroundMark(m["id"], frame=FrameNumber(0), **{name: finite(m[name]) for name in _MARK}) for m in marks
    )
    distance = finite_or_none(row["distance_m"])
    return CameraPlace(row["id"], row["name"], placed, _lens_of(row), distance)


def film_camera_of(row: Mapping[str, Any]) -> FilmCamera:
    """What a row holds of a film's camera."""
    to_place = tuple(float(n) for n in np.frombuffer(row["to_place"], dtype="<f8"))
    if len(to_place) != 9 or not all(map(math.isfinite, to_place)):
        raise ValueError("no map to the camera place")
    error = finite(row["to_place_error_px"])
    return FilmCamera(row["film_id"], _path_of(row), _lens_of(row), to_place, error)


def tagging_of(row: Mapping[str, Any]) -> TaggingSample:
    """The tagging sample that a row holds."""
    return TaggingSample(row["id"], row["coach"], TaggingError(finite(row["s_s"]), row["pairs"]))


def _path_of(row: Mapping[str, Any]) -> CameraPath | None:
    if row["kind"] is None:
        return None
    maps, error = _unpacked(row["maps"]).reshape(-1, 3, 3), _unpacked(row["error_px"])
    if len(maps) != len(error):
        raise ValueError("a camera's path with maps and errors of unequal number")
    return CameraPath(
        CameraKind(row["kind"]),
        FrameNumber(row["reference"]),
        FrameNumber(row["first"]),
        maps,
        error,
        finite(row["parallax_px"]),
        _lens_of(row, "path_"),
    )


def _lens_row(lens: Lens | None, of: str = "") -> Row:
    names = [of + name for name in LENS]
    if lens is None:
        return dict.fromkeys(names)
    return dict(zip(names, (lens.k1, lens.focal_px, *lens.centre, lens.k1_u), strict=True))


def _lens_of(row: Mapping[str, Any], of: str = "") -> Lens | None:
    if row[of + "lens_k1"] is None:
        return None
    k1, focal, u, v, k1_u = (finite(row[of + name]) for name in LENS)
    return Lens(k1, focal, (u, v), k1_u)


def _packed(numbers: Floats) -> bytes:
    return zlib.compress(np.ascontiguousarray(numbers, dtype="<f8").tobytes())


def _unpacked(blob: bytes) -> Floats:
    try:
        return np.frombuffer(zlib.decompress(blob), dtype="<f8").astype(np.float64)
    except zlib.error as error:
        raise ValueError(str(error)) from error
