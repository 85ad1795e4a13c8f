"""Where points are along the running line, with what they share of their errors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Source, combine, normal, rectangular
from analysis.ground.ground import FOOT_OFFSET_M, HIP_OFFSET_M, STEP_OFFSET_HALF_M, Ground
from analysis.ground.point_rows import PointRows, below_each_other
from analysis.values.run import Side

Floats = npt.NDArray[np.float64]

HIPS = ("left_hip", "right_hip")


@dataclass(frozen=True, eq=False)
class Places:
    """Places along the running line in m, forwards positive.

    ``x``: shape (n,). ``own``: each place's own standard uncertainty from its click, (n,). ``shared``: how
    much one standard uncertainty of each of ``sources`` moves each place, m, (n, sources).
    """

    x: Floats
    own: Floats
    shared: Floats
    sources: tuple[Source, ...]
    _made: dict[int, Carried] = field(default_factory=dict)

    def carried(self, place: int) -> Carried:
        """One place with its error sources; asked twice it is the same number, so its own error cancels."""
        if place not in self._made:
            parts = self.shared_parts(self.shared[place])
            parts[normal(float(self.own[place]))] = 1.0
            self._made[place] = combine(float(self.x[place]), parts)
        return self._made[place]

    def shared_parts(self, moves: Floats) -> dict[Source, float]:
        """Sensitivities to the shared sources that mean these moves, per standard uncertainty, shape
        (sources,).
        """
        return {
            source: move / source.u
            for source, move in zip(self.sources, moves.tolist(), strict=True)
            if move != 0.0 and source.u > 0
        }

    def u(self) -> Floats:
        """Standard uncertainty of each place, shape (n,)."""
        out: Floats = np.sqrt(self.own**2 + (self.shared**2).sum(axis=1))
        return out


def _raw(ground: Ground, points: PointRows) -> tuple[Floats, Floats, Floats]:
    """X of points in the marks' plane, own u, and moves by each map error, shape (n, k)."""
    per_pixel = ground.pixel_changes(points.uv)[:, :, 0]
    own = points.error_px * np.sqrt((per_pixel**2).sum(axis=0))
    return ground.metres(points.uv)[:, 0], own, ground.map_changes(points.uv)[:, 0]


def _off_the_line(ground: Ground, x: Floats, nearer: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Places of points that lie ``nearer`` (m) to the camera than the marks' plane, shape (n,).

    ``x_true = x_cam + (x_read - x_cam) (D - z) / D``. Returns these, and the changes per m of z, per m of D,
    and per m of the place as read.
    """
    camera = ground.camera
    from_camera = x - camera.x_m
    shrink = 1.0 - nearer / camera.distance_m
    return (
        camera.x_m + from_camera * shrink,
        -from_camera / camera.distance_m,
        from_camera * nearer / camera.distance_m**2,
        shrink,
    )


def _toward_camera(ground: Ground, sides: Sequence[Side]) -> Floats:
    return np.array([1.0 if side is ground.side_near else -1.0 for side in sides])


def place_contacts(
    ground: Ground, contacts: Sequence[PointRows], sides: Sequence[Sequence[Side]]
) -> list[Places]:
    """Places of points on the shoe of each contact, corrected for its distance from the running line; all go
    through the map at once.

    A shoe lands 0.10 m beside the line on which the athlete runs, on the camera's side or beyond; how far
    exactly is one unknown of the film, opposite for left and right, and another of each contact. Where marks
    beside the line give a map of the ground, that places the shoe instead. ``contacts``, ``sides``: for each
    contact its points, and whose shoe each of them is on.
    """
    if not contacts:
        return []
    points = below_each_other(contacts)
    drift, drift_sources = _drift(ground, points)
    if ground.shoes is not None:
        x, own, moves = ground.shoes.places(points.uv, points.error_px)
        columns = np.column_stack([moves, drift])
        sources = [(*ground.shoes.sources, *drift_sources)] * len(contacts)
    else:
        x, own, moves = _raw(ground, points)
        toward = _toward_camera(ground, [side for each in sides for side in each])
        x, per_z, per_distance, shrink = _off_the_line(ground, x, FOOT_OFFSET_M * toward + ground.lane_m)
        shared = ground.shared
        strays = [rectangular(STEP_OFFSET_HALF_M) for _ in contacts]
        columns = np.column_stack(
            [
                moves * shrink[:, None],
                per_z * toward * float(shared.foot.std_dev),
                per_z * float(strays[0].std_dev),
                per_z * float(shared.lane.std_dev),
                per_distance * float(shared.distance.std_dev),
                drift * shrink[:, None],
            ]
        )
        own = own * np.abs(shrink)
        sources = [
            (*shared.plane, shared.foot, stray, shared.lane, shared.distance, *drift_sources)
            for stray in strays
        ]
    ends = np.cumsum([len(one) for one in contacts]).tolist()
    rows = [slice(end - len(one), end) for one, end in zip(contacts, ends, strict=True)]
    return [Places(x[at], own[at], columns[at], known) for at, known in zip(rows, sources, strict=True)]


def _drift(ground: Ground, points: PointRows) -> tuple[Floats, tuple[Source, ...]]:
    """Moves of places along the line by the drift of a turning camera's path, m, (n, sources)."""
    if ground.drift is None:
        return np.zeros((len(points), 0)), ()
    per_pixel = ground.pixel_changes(points.uv)[:, :, 0]
    size = np.copysign(np.sqrt((per_pixel**2).sum(axis=0)), per_pixel[0])
    out: Floats = ground.drift.columns(points.frames) * size[:, None]
    return out, ground.drift.sources


@dataclass(frozen=True, eq=False)
class HipTrack:
    """The hip centre over time, or the centre of mass in its place.

    ``frames``, ``times_s``: of each place, rising, shape (n,). ``single``: True where only one hip was
    placed.
    """

    frames: npt.NDArray[np.int64]
    times_s: Floats
    places: Places
    single: npt.NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.frames)


def place_hips(ground: Ground, points: Mapping[str, PointRows], seconds: Floats) -> HipTrack:
    """The hip centre on every frame that holds a hip: the middle of both, else the one, corrected for its
    depth.

    ``points``: those named ``left_hip`` and ``right_hip``, at least one of them, of frames of the film.
    ``seconds``: capture times of all frames. A hip lies 0.09 m beside the body's middle. The joint's place
    under skin and clothes (2 cm) is one error for the film.
    """
    sides = {side: points[name] for name, side in zip(HIPS, Side, strict=True) if name in points}
    hips = below_each_other(list(sides.values()))
    x, own, moves = _raw(ground, hips)
    toward = np.repeat(_toward_camera(ground, list(sides)), [len(of_side) for of_side in sides.values()])
    x, per_z, per_distance, shrink = _off_the_line(ground, x, HIP_OFFSET_M * toward + ground.lane_m)
    shared = ground.shared
    drift, drift_sources = _drift(ground, hips)
    columns = np.column_stack(
        [
            moves * shrink[:, None],
            per_z * toward * float(shared.hip.std_dev),
            per_z * float(shared.lane.std_dev),
            per_distance * float(shared.distance.std_dev),
            np.full(len(x), float(shared.anatomy.std_dev)),
            drift * shrink[:, None],
        ]
    )
    frames, where = np.unique(hips.frames, return_inverse=True)
    count = np.bincount(where, minlength=len(frames)).astype(np.float64)
    share = 1.0 / count[where]

    def summed(values: Floats) -> Floats:
        total = np.zeros((len(frames), *values.shape[1:]))
        np.add.at(total, where, values)
        return total

    places = Places(
        summed(x * share),
        np.sqrt(summed((own * shrink * share) ** 2)),
        summed(columns * share[:, None]),
        (*shared.plane, shared.hip, shared.lane, shared.distance, shared.anatomy, *drift_sources),
    )
    return HipTrack(frames, seconds[frames], places, count < 2)
