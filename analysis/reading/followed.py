"""Which points a reading rests on: the placed ones, and those followed between them."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.ground.place import HIPS
from analysis.ground.point_rows import PointRows, followed_rows
from analysis.ground.points import PointsByName
from analysis.reading.placed_points import PlacedPoints, placed_points
from analysis.reading.stages import stage
from analysis.steps.table import StepTimes
from analysis.values.run import BodyPoint, StartPush
from analysis.values.tracks import Tracks

EVERY_LEAVING = 2
"""So many frames apart hips are taken to find when they leave their rest."""
TOES = ("left_toe", "right_toe")


@dataclass(frozen=True, eq=False)
class RowsUsed:
    """Every point on every frame that holds it, whatever is tagged. ``placed``: those that were placed.
    ``lost``: whether one of these had no proper place. ``memory``: over how many frames errors stay alike.
    """

    rows: dict[str, PointRows]
    placed: PlacedPoints
    lost: bool
    memory: float


@stage
def rows_used(points: tuple[BodyPoint, ...], tracks: Tracks | None, frames: int) -> RowsUsed:
    """The points that are read of a film of so many frames: followed, where they were, else placed."""
    placed = placed_points(points, frames)
    lost = sum(len(of_name) for of_name in placed.named.values()) < len(points)
    if tracks is None:
        return RowsUsed(dict(placed.rows), placed, lost, 0.0)
    memory = float(np.median(tracks.memory)) if len(tracks.memory) else 0.0
    return RowsUsed(followed_rows(tracks, placed.rows, frames), placed, lost, memory)


@dataclass(frozen=True, eq=False)
class PointsUsed:
    """``every``: on every frame that holds them, for posture. ``named``: for places of hips and
    shoes, points whose errors have little to do with each other. ``drawn``: points for angles at events where
    no line is drawn; none where points were followed: ``rows`` gives those. ``leaving``: followed hips up to
    the front foot's toe-off, however much their errors go together: when they leave their rest is a matter of
    one place.
    """

    every: RowsUsed
    named: Mapping[str, PointRows]
    drawn: PointsByName
    leaving: Mapping[str, PointRows]


def points_used(
    points: tuple[BodyPoint, ...],
    tracks: Tracks | None,
    start: StartPush,
    steps: Sequence[StepTimes],
    frames: int,
) -> PointsUsed:
    """The points of a run whose film has so many frames. ``points``: as they were placed."""
    every = rows_used(points, tracks, frames)
    rows, memory = every.rows, every.memory
    if tracks is None:
        return PointsUsed(every, every.placed.rows, every.placed.named, {})
    thin, leaving = dict(every.placed.rows), {}
    events = _event_frames(start, steps)
    for name in (*HIPS, *TOES):
        if name in tracks.names and name in rows:
            kept = _apart(rows[name], max(1, math.ceil(memory)), events if name in HIPS else ())
            thin[name] = rows[name][np.asarray(kept, dtype=np.int64)]
            if name in HIPS and start.front_toe_off is not None:
                up_to = int(np.searchsorted(rows[name].frames, start.front_toe_off, "right"))
                leaving[name] = rows[name][:up_to:EVERY_LEAVING]
    return PointsUsed(every, thin, {}, leaving)


def _event_frames(start: StartPush, steps: Iterable[StepTimes]) -> list[int]:
    found = [start.first_movement, start.rear_toe_off, start.front_toe_off]
    found += [e.frame for s in steps for e in (s.touchdown, s.toe_off) if e is not None]  # type: ignore[misc]
    return sorted({int(f) for f in found if f is not None})


def _apart(rows: PointRows, memory: int, events: Sequence[int]) -> list[int]:
    """Rows of the events, and between them rows at least so many frames away from those that were taken."""
    frames = rows.frames.tolist()
    chosen = [row for f in events if (row := bisect_left(frames, f)) < len(frames) and frames[row] == f]
    taken = [frames[row] for row in chosen]
    for before, after in zip([None, *taken], [*taken, None], strict=True):
        row = 0 if before is None else bisect_left(frames, before + memory)
        end = len(frames) if after is None else bisect_right(frames, after - memory)
        while row < end:
            chosen.append(row)
            row = bisect_left(frames, frames[row] + memory, row + 1)
    return sorted(chosen)
