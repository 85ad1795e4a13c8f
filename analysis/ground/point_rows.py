"""Body points as arrays: those that were placed, or those that were followed between them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.points import PointsByName
from analysis.ground.view import View
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class PointRows:
    """One point in pixels: ``frames`` (n,), rising; ``uv`` (n, 2); ``error_px`` (n,) along each axis;
    ``guessed`` (n,), whether it was hidden there.
    """

    frames: Whole
    uv: Floats
    error_px: Floats
    guessed: Flags

    @classmethod
    def of(cls, points: Sequence[BodyPoint]) -> PointRows:
        """Points of one name, in the order in which they come."""
        return cls(
            np.array([p.frame for p in points], dtype=np.int64),
            np.array([(p.u, p.v) for p in points], dtype=np.float64).reshape(-1, 2),
            np.array([p.error_px for p in points], dtype=np.float64),
            np.zeros(len(points), bool),
        )

    def __len__(self) -> int:
        return len(self.frames)

    def __getitem__(self, rows: Flags | Whole | slice) -> PointRows:
        return PointRows(self.frames[rows], self.uv[rows], self.error_px[rows], self.guessed[rows])

    def straight(self, view: View) -> PointRows:
        """The same in straight pixels of the reference; without frames that can't be tied."""
        if view.plain:
            return self
        error = self.error_px * view.stretch(self.frames, self.uv)
        if view.moves:
            error = np.hypot(error, view.lens_u_px(self.uv))
        made = PointRows(self.frames, view.straight(self.frames, self.uv), error, self.guessed)
        return made[np.isfinite(made.uv.sum(axis=1) + error)]


def rows_of(points: PointsByName, frames: int) -> dict[str, PointRows]:
    """Placed points. ``frames``: of the film; points on others are left out."""
    out = {}
    for name, named in points.items():
        inside = [p for p in named if 0 <= p.frame < frames]
        if inside:
            out[name] = PointRows.of(inside)
    return out


def straight_rows(rows: Mapping[str, PointRows], view: View) -> dict[str, PointRows]:
    """Points in straight pixels of the reference; without names that stand on no frame."""
    straight = {name: one.straight(view) for name, one in rows.items()}
    return {name: one for name, one in straight.items() if len(one)}


def followed_rows(tracks: Tracks, placed: Mapping[str, PointRows], frames: int) -> dict[str, PointRows]:
    """Followed points by name; where a point was not followed at all, or on frames outside the stretch that
    was, the placed ones stand.
    """
    out = dict(placed)
    count = max(0, min(len(tracks), frames - tracks.first))
    within = tracks.first + np.arange(count, dtype=np.int64)
    standing = tracks.standing[:count]
    known, guessed = standing != int(Standing.NONE), standing == int(Standing.GUESSED)
    everywhere = known.all(axis=0).tolist()
    for column, name in enumerate(tracks.names):
        rows = slice(None) if everywhere[column] else known[:, column]
        made = PointRows(
            within if everywhere[column] else within[rows],
            tracks.places[:count, column][rows],
            tracks.u_px[:count, column][rows],
            guessed[:, column][rows],
        )
        if name in placed:
            extra = placed[name]
            left = _outside(extra, within) if everywhere[column] else ~np.isin(extra.frames, made.frames)
            made = _joined(made, extra[left])
        if len(made.frames):
            out[name] = made
    return out


def _outside(rows: PointRows, within: Whole) -> Flags:
    """Which rows stand before or after all of these frames, none of which is missing between them."""
    if not len(within):
        return np.ones(len(rows.frames), np.bool_)
    out: Flags = (rows.frames < within[0]) | (rows.frames > within[-1])
    return out


def on_both(one: PointRows, other: PointRows) -> tuple[Whole, Whole, Whole]:
    """The frames that hold two points, and their rows in either."""
    frames = one.frames
    if np.array_equal(frames, other.frames) and bool((frames[1:] > frames[:-1]).all()):
        rows = np.arange(len(frames))
        return frames, rows, rows
    return np.intersect1d(frames, other.frames, return_indices=True)


def below_each_other(each: Sequence[PointRows]) -> PointRows:
    """Rows of several in one, in the order in which they come; at least one."""
    if len(each) == 1:
        return each[0]
    return PointRows(
        np.concatenate([one.frames for one in each]),
        np.concatenate([one.uv for one in each]),
        np.concatenate([one.error_px for one in each]),
        np.concatenate([one.guessed for one in each]),
    )


def _joined(one: PointRows, other: PointRows) -> PointRows:
    if not len(other.frames):
        return one
    both = below_each_other([one, other])
    return both[np.argsort(both.frames, kind="stable")]
