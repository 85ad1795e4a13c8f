"""The ground of a run: the map that its marks allow, the camera behind it, and the errors that all places
share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import Camera, read_camera, typical_focal_px
from analysis.ground.carried import Source, normal, rectangular
from analysis.ground.homography import SMALL, Homography, fit_homography
from analysis.ground.line_map import LineMap, fit_line_map
from analysis.ground.marks import MapKind, distinct, line_marks, mark_conflict, spans_plane
from analysis.ground.notes import ground_doubts, ground_notes
from analysis.ground.residuals import WIDE_RESIDUAL, Residual, mark_residuals
from analysis.values.errors import MarkError
from analysis.values.estimate import NoValue
from analysis.values.run import Direction, GroundMark, Run, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

FOOT_OFFSET_M = 0.10
"""How far a shoe lands beside the running line (measures.md)."""
FOOT_OFFSET_HALF_M = 0.05
"""Half width within which that may be off, rectangular, opposite for left and right (own assumption)."""
HIP_OFFSET_M = 0.09
"""How far a hip lies beside the middle of the body (measures.md)."""
HIP_OFFSET_HALF_M = 0.02
"""Half width within which that may be off, rectangular (own assumption)."""
HIP_ANATOMY_M = 0.02
"""Where a hip's centre lies under skin and clothes, standard uncertainty, constant over a film
(measures.md)."""


@dataclass(frozen=True)
class SharedSources:
    """The errors that places of one film have in common."""

    plane: tuple[Source, ...]
    foot: Source
    hip: Source
    distance: Source
    anatomy: Source


@dataclass(frozen=True, eq=False)
class Ground:
    """The map from pixels to metres of one film, with what is known of its errors.

    ``kind``: by what stood in the picture. ``columns``: changes of the map's free numbers by one standard
    uncertainty of each of its independent errors, shape (k, free). ``from_m``, ``to_m``: the marked stretch.
    ``side_near``: the athlete's side that the camera sees. ``notes``: sentences; ``doubts``: those that
    question the marks.
    """

    kind: MapKind
    plane: Homography | LineMap
    columns: Floats
    camera: Camera
    side_near: Side
    from_m: float
    to_m: float
    shared: SharedSources
    residuals: tuple[Residual, ...]
    has_start_line: bool
    notes: tuple[str, ...] = field(default=())
    doubts: tuple[str, ...] = field(default=())

    def metres(self, pixels: Floats) -> Floats:
        """Places in the plane of the run, m, shape (n, 2): along the line, above the ground."""
        return self.plane.metres(pixels)

    @cached_property
    def _changes(self) -> Floats:
        return self.plane.changes(self.columns)

    def map_changes(self, pixels: Floats) -> Floats:
        """How places move with each independent error of the map, per standard uncertainty, (k, n, 2)."""
        up, down = self.plane.moved_metres(pixels, self._changes)
        out: Floats = (up - down) / (2 * SMALL)
        return out

    def pixel_changes(self, pixels: Floats) -> Floats:
        """How places move per pixel of u and of v, m/px, shape (2, n, 2)."""
        steps = np.array([[0.5, 0.0], [0.0, 0.5], [-0.5, 0.0], [0.0, -0.5]])
        moved = self.metres((pixels[None] + steps[:, None]).reshape(-1, 2)).reshape(4, -1, 2)
        out: Floats = moved[:2] - moved[2:]
        return out


def read_ground(run: Run, width: int, height: int) -> Ground | NoValue:
    """The ground of a run from its marks, or the sentence that says what is missing.

    The kind is chosen from what was placed: the whole plane where four marks stand with no three in a line,
    else the line of marks of one height (three or more projective, two with one scale), else a scale from any
    two. The near side follows from the direction: a camera that sees the run go left to right sees the
    athlete's right.
    """
    missing = tr("Set two marks of known distance on the running line to read places and speeds.")
    conflict = mark_conflict(run.marks)
    if conflict is not None:
        return NoValue(conflict)
    if len(distinct(run.marks)) < 2:
        return NoValue(missing)
    kind, used = _choose(run.marks)
    try:
        plane = _fit(kind, used, run, width, height)
        columns = _columns(plane.covariance)
        camera = read_camera(plane, width, height, run.camera_distance_m)
    except MarkError as error:
        return NoValue(str(error))
    except np.linalg.LinAlgError:
        return NoValue(
            tr("The marks don't determine a scale: they stand too close together. Set them farther apart.")
        )
    if not (math.isfinite(camera.distance_m) and np.all(np.isfinite(columns))):
        return NoValue(tr("The marks don't determine a scale. Check their distances."))
    residuals = mark_residuals(plane, used)
    wide = [r for r in residuals if r.sigmas > WIDE_RESIDUAL]
    if wide:  # the marks contradict each other: their stated errors are too small
        freedom = max(1, 2 * len(used) - (8 if kind is MapKind.PLANE else 5))
        columns = columns * max(1.0, math.sqrt(sum(r.sigmas**2 for r in residuals) / freedom))
    return Ground(
        kind=kind,
        plane=plane,
        columns=columns,
        camera=camera,
        side_near=Side.RIGHT if run.direction is Direction.RIGHT else Side.LEFT,
        from_m=min(m.x_m for m in used),
        to_m=max(m.x_m for m in used),
        shared=_sources(len(columns), camera),
        residuals=residuals,
        has_start_line=any(abs(m.x_m) < 1e-9 for m in run.marks),
        notes=tuple(ground_notes(run, kind, used, camera)),
        doubts=tuple(ground_doubts(run, used, plane, wide, width, height)),
    )


def _choose(marks: Sequence[GroundMark]) -> tuple[MapKind, list[GroundMark]]:
    if spans_plane(marks):
        return MapKind.PLANE, list(marks)
    line = line_marks(marks)
    places = len(distinct(line))
    if places >= 3:
        return MapKind.LINE, line
    if places == 2:
        return MapKind.SCALE, line
    two = distinct(marks)[:2]
    return MapKind.SCALE, two


def _fit(
    kind: MapKind, used: Sequence[GroundMark], run: Run, width: int, height: int
) -> Homography | LineMap:
    metres = np.array([(m.x_m, m.y_m) for m in used])
    pixels = np.array([(m.u, m.v) for m in used])
    error = np.array([m.error_px for m in used])
    if kind is MapKind.PLANE:
        return fit_homography(metres, pixels, error)
    centre = np.array([(width - 1) / 2, (height - 1) / 2])
    leftwards = run.direction is Direction.LEFT
    return fit_line_map(metres, pixels, error, centre, typical_focal_px(width, height), leftwards)


def _columns(covariance: Floats) -> Floats:
    variance = np.diag(covariance)
    if not np.all(np.isfinite(covariance)) or np.any(variance < 0):
        raise MarkError(tr("The marks don't determine a scale. Check their distances, or set more of them."))
    size = np.where(variance > 0, np.sqrt(variance), 1.0)
    values, vectors = np.linalg.eigh(covariance / np.outer(size, size))
    columns: Floats = (vectors * np.sqrt(np.clip(values, 0, None))).T * size
    kept: Floats = columns[np.any(columns != 0, axis=1)]
    return kept


def _sources(count: int, camera: Camera) -> SharedSources:
    return SharedSources(
        plane=tuple(normal(1.0) for _ in range(count)),
        foot=rectangular(FOOT_OFFSET_HALF_M),
        hip=rectangular(HIP_OFFSET_HALF_M),
        distance=normal(camera.distance_u),
        anatomy=normal(HIP_ANATOMY_M),
    )
