"""Which map a run's marks allow, and that map."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import typical_focal_px
from analysis.ground.homography import Homography, fit_homography
from analysis.ground.line_map import LineMap, fit_line_map
from analysis.ground.marks import MapKind, distinct, line_marks, spans_plane
from analysis.values.run import GroundMark

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Fit:
    """A map, the marks that it was fitted to, and their errors in px along the line and across it, (n, 2)."""

    kind: MapKind
    plane: Homography | LineMap
    used: list[GroundMark]
    errors: Floats


def choose(marks: Sequence[GroundMark]) -> tuple[MapKind, list[GroundMark]]:
    """The kind of map, and the marks for it: the whole plane where four stand with no three in a line, else
    the line of marks of one height, else a scale from any two.
    """
    if spans_plane(marks):
        return MapKind.PLANE, list(marks)
    line = line_marks(marks)
    places = len(distinct(line))
    if places >= 3:
        return MapKind.LINE, line
    if places == 2:
        return MapKind.SCALE, line
    return MapKind.SCALE, distinct(marks)[:2]


def fit(
    kind: MapKind,
    used: list[GroundMark],
    leftwards: bool,
    width: int,
    height: int,
    errors: Floats | None = None,
) -> Fit:
    """The map of a kind through marks.

    A mark that is *about* has its distance's error turned into pixels along the line by a first fit.
    Raises MarkError or LinAlgError where the marks don't determine the map.
    """
    clicks = np.array([m.error_px for m in used])
    if errors is None:
        errors = np.stack([clicks, clicks], axis=1)
        first = _map(kind, used, errors, leftwards, width, height)
        about = np.array([m.error_m for m in used])
        if not np.any(about > 0):
            return Fit(kind, first, used, errors)
        errors = np.stack([np.hypot(clicks, about / _m_per_px(first, used)), clicks], axis=1)
    return Fit(kind, _map(kind, used, errors, leftwards, width, height), used, errors)


def _map(
    kind: MapKind, used: Sequence[GroundMark], errors: Floats, leftwards: bool, width: int, height: int
) -> Homography | LineMap:
    metres = np.array([(m.x_m, m.y_m) for m in used])
    pixels = np.array([(m.u, m.v) for m in used])
    if kind is MapKind.PLANE:
        return fit_homography(metres, pixels, errors)
    centre = np.array([(width - 1) / 2, (height - 1) / 2])
    focal = typical_focal_px(width, height)
    return fit_line_map(metres, pixels, errors[:, 1], centre, focal, leftwards, errors[:, 0])


def _m_per_px(plane: Homography | LineMap, used: Sequence[GroundMark]) -> Floats:
    """Metres along the line in a pixel of u, where the marks stand, (n,)."""
    pixels = np.array([(m.u, m.v) for m in used])
    half = np.array([0.5, 0.0])
    out: Floats = np.abs(plane.metres(pixels + half) - plane.metres(pixels - half))[:, 0]
    return np.maximum(out, 1e-9)
