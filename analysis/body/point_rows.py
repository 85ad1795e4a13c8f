"""Body points as arrays: those that were placed, or those that were followed between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.points import PointsByName
from analysis.ground.view import View
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PointRows:
    """One point in pixels: ``frames`` (n,), rising; ``uv`` (n, 2); ``error_px`` (n,) along each axis;
    ``guessed`` (n,), whether it was hidden there.
    """

    frames: npt.NDArray[np.int64]
    uv: Floats
    error_px: Floats
    guessed: npt.NDArray[np.bool_]

    def __getitem__(self, rows: npt.NDArray[np.bool_]) -> PointRows:
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
            out[name] = PointRows(
                np.array([p.frame for p in inside], dtype=np.int64),
                np.array([(p.u, p.v) for p in inside], dtype=np.float64),
                np.array([p.error_px for p in inside], dtype=np.float64),
                np.zeros(len(inside), bool),
            )
    return out


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
            within[rows],
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


def _outside(rows: PointRows, within: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    """Which rows stand before or after all of these frames, none of which is missing between them."""
    if not len(within):
        return np.ones(len(rows.frames), np.bool_)
    out: npt.NDArray[np.bool_] = (rows.frames < within[0]) | (rows.frames > within[-1])
    return out


def on_both(
    one: PointRows, other: PointRows
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """The frames that hold two points, and their rows in either."""
    frames = one.frames
    if np.array_equal(frames, other.frames) and bool((frames[1:] > frames[:-1]).all()):
        rows = np.arange(len(frames))
        return frames, rows, rows
    return np.intersect1d(frames, other.frames, return_indices=True)


def _joined(one: PointRows, other: PointRows) -> PointRows:
    if not len(other.frames):
        return one
    order = np.argsort(np.concatenate([one.frames, other.frames]), kind="stable")
    return PointRows(
        np.concatenate([one.frames, other.frames])[order],
        np.concatenate([one.uv, other.uv])[order],
        np.concatenate([one.error_px, other.error_px])[order],
        np.concatenate([one.guessed, other.guessed])[order],
    )
