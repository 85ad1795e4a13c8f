"""The ground of a run: the map that its marks allow, the camera behind it, and the errors that all places
share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from analysis.ground.camera import Camera, read_camera
from analysis.ground.carried import Source, normal, rectangular
from analysis.ground.choosing import Fit, choose, fit
from analysis.ground.columns import columns_of
from analysis.ground.ground_map import GroundMap, fit_ground_map, marks_on_its_line
from analysis.ground.homography import AnyFloats, Homography
from analysis.ground.lens import moved_by_k1
from analysis.ground.line_map import LineMap
from analysis.ground.marks import MapKind, distinct, on_the_line, sound_marks, spans_ground
from analysis.ground.notes import ground_doubts, ground_notes
from analysis.ground.residuals import WIDE_RESIDUAL, Residual, in_film, mark_residuals
from analysis.ground.stature import STATURE_SHARE_U, Standing, standing
from analysis.ground.straightening import straight_marks
from analysis.ground.view import Drift, View
from analysis.values.errors import MarkError
from analysis.values.estimate import NoValue
from analysis.values.run import Athlete, Direction, GroundMark, Run, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

FOOT_OFFSET_M = 0.10
"""How far a shoe lands beside the running line (measures.md)."""
FOOT_OFFSET_HALF_M = 0.05
"""Half width within which that may be off over a whole film, rectangular, opposite for left and right (own
assumption)."""
STEP_OFFSET_HALF_M = 0.05
"""Half width within which each contact strays from that, rectangular: with the last, a shoe may land between
0 and 0.20 m beside the line (own assumption)."""
LANE_U_M = 0.05
"""How far an athlete who runs on the marked line runs beside it, standard uncertainty, m, where nobody gave
the lane's offset or its error (own assumption)."""
HIP_OFFSET_M = 0.09
"""How far a hip lies beside the middle of the body (measures.md)."""
HIP_OFFSET_HALF_M = 0.02
"""Half width within which that may be off, rectangular (own assumption)."""
HIP_ANATOMY_M = 0.02
"""Where a hip's centre lies under skin and clothes, standard uncertainty, constant over a film
(measures.md)."""


@dataclass(frozen=True)
class SharedSources:
    """The errors that places of one film have in common; ``plane``: as ``Ground.map_changes`` has them."""

    plane: tuple[Source, ...]
    foot: Source
    lane: Source
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

    All pixels are straight ones of the reference frame, as ``straightening`` makes them. ``lane_m``: how much
    nearer to the camera than the marks' plane the athlete ran. ``drift``: errors of a turning camera's path.
    ``shoes``: the map of the ground, where marks beside the line give one that serves. ``lens_planes``: the
    plane for a lens bent more and less by its own error. ``rough``: the scale is the athlete's stature.
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
    view: View | None = None
    lane_m: float = 0.0
    drift: Drift | None = None
    shoes: GroundMap | None = None
    lens_planes: tuple[Homography | LineMap, Homography | LineMap] | None = None
    rough: bool = False

    def metres(self, pixels: Floats) -> Floats:
        """Places in the plane of the run, m, shape (n, 2): along the line, above the ground."""
        return self.plane.metres(pixels)

    @cached_property
    def _changes(self) -> Floats:
        return self.plane.changes(self.columns)

    def map_changes(self, pixels: Floats) -> Floats:
        """How places move with each independent error of the map, per standard uncertainty, (n, 2, k); in
        memory the pixels lie next to each other.
        """
        out = np.empty((2, len(self.shared.plane), len(pixels)))
        self.write_map_changes(pixels, np.ones(len(pixels)), out)
        return out.transpose(2, 0, 1)

    def write_map_changes(self, pixels: Floats, shares: Floats, out: AnyFloats) -> None:
        """These ``shares`` (n,) of ``map_changes`` into ``out``, (2, k, n)."""
        k = len(self.columns)
        self.plane.small_moves(pixels, self._changes, shares, out[:, :k])
        if self.lens_planes is not None and self.view is not None and self.view.lens is not None:
            move = self.view.lens.k1_u * moved_by_k1(self.view.lens, pixels)
            more, less = self.lens_planes
            bends = (more.metres(pixels + move) - less.metres(pixels - move)) / 2
            np.multiply(bends.T, shares, out=out[:, k])
            k += 1
        if self.rough:
            np.multiply(STATURE_SHARE_U * self.metres(pixels).T, shares, out=out[:, k])

    def pixel_changes(self, pixels: Floats) -> Floats:
        """How places move per pixel of u and of v, m/px, shape (2, n, 2)."""
        return self.plane.pixel_moves(pixels)


def read_ground(
    run: Run, width: int, height: int, view: View | None = None, athlete: Athlete | None = None
) -> Ground | NoValue:
    """The ground of a run from its marks, or the sentence that says what is missing.

    The kind is chosen from what was placed: the whole plane where four marks stand with no three in a line,
    else the line of marks of one height (three or more projective, two with one scale), else a scale from any
    two; without two marks the stature of an athlete who stands upright on some frame. Marks that contradict
    each other are left out and questioned. The near side follows from the direction: a camera that sees the
    run go left to right sees the athlete's right.
    """
    view = view or View(width, height)
    apart = _frames_apart(view)
    if apart:
        return NoValue(apart)
    sound, contradictions = sound_marks(run.marks)
    marks = straight_marks(view, sound)
    if len(marks) < len(sound):
        contradictions.append(
            tr("A mark stands on a frame that can't be tied to the others. Set it on another.")
        )
    athlete_stands = None
    if len(distinct(marks)) < 2:
        if contradictions:
            return NoValue(contradictions[0])
        athlete_stands = standing(run.points, None if athlete is None else athlete.stature_m)
        if athlete_stands is None:
            return NoValue(
                tr(
                    "Set two marks of known distance on the running line to read places and speeds; a rough "
                    "scale comes from the athlete's stature, with head and heel placed where the athlete "
                    "stands upright."
                )
            )
        marks = straight_marks(view, athlete_stands.marks)
    try:
        ground = _ground(run, marks, view, athlete_stands)
    except MarkError as error:
        return NoValue(str(error))
    except np.linalg.LinAlgError:
        return NoValue(
            tr("The marks don't determine a scale: they stand too close together. Set them farther apart.")
        )
    return replace(ground, doubts=(*contradictions, *ground.doubts)) if contradictions else ground


def _frames_apart(view: View) -> str:
    """Why no map ties the frames of a film together; empty where one does."""
    if view.walks:
        return tr(
            "The camera walked along instead of turning in its place, so no marks tie its frames "
            "together: places, lengths and speeds are not read. Film from one spot."
        )
    if view.stale:
        return tr(
            "The background was followed with another lens than the one that is set now, so the marks of "
            "its frames don't meet: places, lengths and speeds are not read. Follow the background again."
        )
    return ""


def _ground(run: Run, marks: list[GroundMark], view: View, athlete_stands: Standing | None) -> Ground:
    shoes = fit_ground_map(marks, columns_of) if spans_ground(marks) else None
    line = on_the_line(marks)
    if len(distinct(line)) < 2 and shoes is not None:
        line = marks_on_its_line(shoes, marks)
    if len(distinct(line)) < 2:
        raise MarkError(
            tr("The marks stand beside the running line. Set two on it, or four on the ground on both sides.")
        )
    leftwards = run.direction is Direction.LEFT
    found = fit(*choose(line), leftwards, view.width, view.height)
    plane, used, kind = found.plane, found.used, found.kind
    camera = read_camera(plane, view.width, view.height, run.camera_distance_m)
    plane = _seen_by(camera, plane)
    columns = columns_of(plane.covariance)
    if not (math.isfinite(camera.distance_m) and np.all(np.isfinite(columns))):
        raise MarkError(tr("The marks don't determine a scale. Check their distances."))
    residuals = mark_residuals(plane, used, found.errors)
    wide = [r for r in residuals if r.sigmas > WIDE_RESIDUAL]
    if wide:  # the marks contradict each other: their stated errors are too small
        freedom = max(1, 2 * len(used) - (8 if kind is MapKind.PLANE else 5))
        columns = columns * max(1.0, math.sqrt(sum(r.sigmas**2 for r in residuals) / freedom))
    rough = athlete_stands is not None
    lens_planes = _lens_planes(found, run.marks, view, camera, leftwards) if not rough else None
    extra = int(lens_planes is not None) + int(rough)
    middle = np.array([[0.0, view.height / 2], [view.width - 1.0, view.height / 2]])
    edges = plane.metres(middle)[:, 0] if rough else [m.x_m for m in used]
    return Ground(
        kind=kind,
        plane=plane,
        columns=columns,
        camera=camera,
        side_near=run.direction.near_side,
        from_m=float(min(edges)),
        to_m=float(max(edges)),
        shared=_sources(len(columns) + extra, camera, run),
        residuals=in_film(residuals, used, run.marks, view),
        has_start_line=not rough and any(abs(m.x_m) < 1e-9 for m in run.marks),
        notes=tuple(ground_notes(kind, used, marks, camera, shoes, athlete_stands)),
        doubts=tuple(ground_doubts(run, used, plane, wide, view, rough)),
        view=view,
        lane_m=run.lane_offset_m or 0.0,
        drift=Drift(view, [int(mark.frame) for mark in used]) if view.moves else None,
        shoes=shoes if shoes is not None and shoes.serves else None,
        lens_planes=lens_planes,
        rough=rough,
    )


def _lens_planes(
    found: Fit, marks: Sequence[GroundMark], view: View, camera: Camera, leftwards: bool
) -> tuple[Homography | LineMap, Homography | LineMap] | None:
    """The map for a lens bent more, and for one bent less, by its own standard uncertainty."""
    lens = view.lens
    if lens is None or lens.k1_u <= 0 or view.moves:
        return None
    ids = {mark.id for mark in found.used}
    raw = [mark for mark in marks if mark.id in ids]
    if len(raw) < len(ids):
        return None
    planes = []
    for way in (1.0, -1.0):
        other = replace(view, lens=replace(lens, k1=lens.k1 + way * lens.k1_u))
        straight = {mark.id: mark for mark in straight_marks(other, raw)}
        if len(straight) < len(ids):
            return None
        used = [straight[mark.id] for mark in found.used]
        bent = fit(found.kind, used, leftwards, view.width, view.height, found.errors).plane
        planes.append(_seen_by(camera, bent))
    return planes[0], planes[1]


def _seen_by(camera: Camera, plane: Homography | LineMap) -> Homography | LineMap:
    """The plane with what is known of the camera that sees it."""
    return plane.seen_by(camera.focal_px, camera.focal_share) if isinstance(plane, LineMap) else plane


def _sources(count: int, camera: Camera, run: Run) -> SharedSources:
    lane_u = run.lane_offset_u_m
    return SharedSources(
        plane=tuple(normal(1.0, lasting=True) for _ in range(count)),
        foot=rectangular(FOOT_OFFSET_HALF_M),
        lane=normal(LANE_U_M if lane_u is None or not math.isfinite(lane_u) or lane_u < 0 else lane_u),
        hip=rectangular(HIP_OFFSET_HALF_M),
        distance=normal(camera.distance_u, lasting=True),
        anatomy=normal(HIP_ANATOMY_M),
    )
