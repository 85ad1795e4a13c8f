"""Body points from pixels to places: all of them through the map at once, with what their errors share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from analysis.body.places import CAMERA_ROLL, EYE_HEIGHT_M, OFFSETS_M, BodyPlaces
from analysis.body.point_lines import EveryPoint, Singles
from analysis.ground.carried import Source, normal, rectangular
from analysis.ground.ground import Ground
from analysis.ground.point_rows import PointRows
from analysis.values.estimate import NoValue
from analysis.values.run import Direction

Floats = npt.NDArray[np.float64]


def body_places(
    ground: Ground | NoValue,
    direction: Direction,
    rows: Mapping[str, PointRows],
    seconds: Floats,
    memory: float = 0.0,
) -> BodyPlaces:
    """Points in straight pixels as places. ``rows``: by name, frames within ``seconds``, the capture times of
    all frames. Without a ground the places are pixels, forwards and up.
    """
    near = direction.near_side
    pixels = _joined([one.uv for one in rows.values()], (0, 2))
    error = _joined([one.error_px for one in rows.values()], (0,))
    if isinstance(ground, NoValue):
        sources: tuple[Source, ...] = (normal(CAMERA_ROLL),)
        placed = _in_picture(direction, pixels, error)
    else:
        beside = _beside(ground)
        lateral = tuple(dict.fromkeys(source for parts in beside.values() for source in parts))
        drift = ground.drift.sources if ground.drift is not None else ()
        sources = (*ground.shared.plane, ground.shared.distance, ground.shared.lane, *lateral, *drift)
        placed = _in_metres(ground, rows, pixels, error, sources, beside)
    ends = np.cumsum([0, *(len(one.frames) for one in rows.values())]).tolist()
    start = dict(zip(rows, ends, strict=False))
    every = EveryPoint(*placed, _joined([one.guessed for one in rows.values()], (0,)).astype(np.bool_), start)
    no_scale = ground if isinstance(ground, NoValue) else None
    lines = {name: every.line(name, one.frames) for name, one in rows.items()}
    return BodyPlaces(seconds, every, lines, sources, no_scale, near, memory)


def _joined(arrays: Sequence[npt.NDArray[np.generic]], empty: tuple[int, ...]) -> npt.NDArray[Any]:
    """Arrays below each other; one of shape ``empty`` where there are none."""
    return np.concatenate(arrays) if arrays else np.zeros(empty)


def _beside(ground: Ground) -> dict[str, dict[Source, float]]:
    """What a joint may be off beside the middle of the body: sources, and how far each moves it."""
    hip, foot = ground.shared.hip, ground.shared.foot
    own = {joint: {rectangular(half): 1.0} for joint, (_, half) in OFFSETS_M.items()}
    leg = {"hip": {hip: 1.0}, "knee": {**own["knee"], hip: 0.5, foot: 0.5}}
    return own | leg | {joint: {foot: 1.0} for joint in ("ankle", "heel", "toe")}


def _in_picture(direction: Direction, pixels: Floats, error_px: Floats) -> tuple[Floats, Floats, Singles]:
    xy = pixels * (direction.forwards, -1.0)
    own = np.repeat(error_px[:, None], 2, axis=1)
    shared = np.stack([-xy[:, 1], xy[:, 0]], axis=1)[:, :, None] * CAMERA_ROLL
    return xy, own, shared.astype(np.float32)


def _in_metres(
    ground: Ground,
    rows: Mapping[str, PointRows],
    pixels: Floats,
    error_px: Floats,
    sources: tuple[Source, ...],
    beside: Mapping[str, Mapping[Source, float]],
) -> tuple[Floats, Floats, Singles]:
    """Places in the middle plane of the body: a point z nearer to the camera than the line reads too far out
    from the point that the camera faces, forwards and up alike. All points go through the map at once.
    """
    per_pixel = ground.pixel_changes(pixels)
    camera = ground.camera
    places = ground.metres(pixels)
    counts = [len(one.frames) for one in rows.values()]
    toward = [_toward(ground, name) for name in rows]
    nearer_m = [
        ground.lane_m + (way * OFFSETS_M[name.partition("_")[2]][0] if way else 0.0)
        for name, way in zip(rows, toward, strict=True)
    ]
    z = np.repeat(nearer_m, counts)
    shrink = 1.0 - z / camera.distance_m
    size = np.hypot(per_pixel[0].T, per_pixel[1].T).T
    # in memory the points lie next to each other, since each error is worked out for all of them at a time;
    # seven digits of an error will do, which halves the memory that has to be gone through
    by_error = np.zeros((2, len(sources), len(pixels)), np.float32)
    ground.write_map_changes(pixels, shrink, by_error[:, : len(ground.shared.plane)])
    shared = by_error.transpose(2, 0, 1)
    at = {source: i for i, source in enumerate(sources)}
    distance, lane = ground.shared.distance, ground.shared.lane
    xy, own, nearer = (np.empty_like(places) for _ in range(3))
    in_own, by_distance = error_px * np.abs(shrink), z / camera.distance_m**2 * distance.std_dev
    for axis, eye in enumerate((camera.x_m, EYE_HEIGHT_M)):  # numpy is slow on axes of two
        from_eye = places[:, axis] - eye
        xy[:, axis] = eye + from_eye * shrink
        own[:, axis] = size[:, axis] * in_own
        shared[:, axis, at[distance]] = from_eye * by_distance
        nearer[:, axis] = from_eye / -camera.distance_m
        shared[:, axis, at[lane]] = nearer[:, axis] * lane.std_dev
    ends = np.cumsum(counts).tolist()
    for (name, one), way, count, end in zip(rows.items(), toward, counts, ends, strict=True):
        of_it = slice(end - count, end)
        if way:
            for off, share in beside[name.partition("_")[2]].items():
                shared[of_it, :, at[off]] = nearer[of_it] * (share * way * off.std_dev)
        if ground.drift is not None:
            # a drift moves places both ways alike: along the larger change of each
            columns = ground.drift.columns(one.frames)
            of_drift = slice(len(sources) - len(ground.drift.sources), None)
            shared[of_it, :, of_drift] = size[of_it, :, None] * columns[:, None, :]
    return xy, own, shared


def _toward(ground: Ground, name: str) -> float:
    """1 for a point of the side that the camera sees, -1 for one of the other, 0 for one in the middle."""
    side, _, joint = name.partition("_")
    if joint not in OFFSETS_M or side not in ("left", "right"):
        return 0.0
    return 1.0 if side == ground.side_near.value else -1.0
