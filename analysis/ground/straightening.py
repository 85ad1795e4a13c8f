"""Marks, points and lines, freed from the lens and taken to the picture of the reference frame."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analysis.ground.points import PointsByName
from analysis.ground.view import View
from analysis.values.run import BodyPoint, GroundMark, Line

Floats = npt.NDArray[np.float64]


def straight_marks(view: View, marks: Sequence[GroundMark]) -> list[GroundMark]:
    """The marks where they would stand in the reference's straight picture, without those on frames that
    can't be tied; the path's drift is added to their errors, and the lens's own where frames have maps.
    """
    if view.plain or not marks:
        return list(marks)
    frames, pixels = _places(marks)
    straight = view.straight(frames, pixels)
    error = np.array([m.error_px for m in marks]) * view.stretch(frames, pixels)
    error = np.hypot(error, view.drift_px(frames))
    if view.moves:
        error = np.hypot(error, view.lens_u_px(pixels))
    return [
        replace(mark, u=float(u), v=float(v), error_px=float(e))
        for mark, (u, v), e in zip(marks, straight, error, strict=True)
        if math.isfinite(u + v + e)
    ]


class StraightPoints(Mapping[str, Sequence[BodyPoint]]):
    """Points of each name as ``straight_marks`` has marks, made when they are asked for.

    Their errors are those of the clicks, with the lens's own where frames have maps; the path's drift, which
    near frames share, is the ground's to add.
    """

    def __init__(self, points: PointsByName, view: View) -> None:
        self._points, self._view = points, view
        self._made: dict[str, list[BodyPoint]] = {}

    def __getitem__(self, name: str) -> Sequence[BodyPoint]:
        if name not in self._made:
            self._made[name] = _straight_points(self._view, self._points[name])
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._points)

    def __len__(self) -> int:
        return len(self._points)


def straight_points(points: PointsByName, view: View) -> PointsByName:
    """The points as they are for a still camera without a lens, else straightened by name."""
    return points if view.plain else StraightPoints(points, view)


def straight_lines(view: View, lines: Sequence[Line]) -> tuple[Line, ...]:
    """Drawn lines likewise; one on a frame that can't be tied is left out."""
    if view.plain or not lines:
        return tuple(lines)
    frames = np.array([line.frame for line in lines], dtype=np.int64)
    lower = view.straight(frames, np.array([line.lower for line in lines], dtype=np.float64))
    upper = view.straight(frames, np.array([line.upper for line in lines], dtype=np.float64))
    middle = np.array([np.add(line.lower, line.upper) / 2 for line in lines], dtype=np.float64)
    error = np.array([line.error_px for line in lines]) * view.stretch(frames, middle)
    return tuple(
        replace(
            line,
            lower=(float(low[0]), float(low[1])),
            upper=(float(up[0]), float(up[1])),
            error_px=float(e),
        )
        for line, low, up, e in zip(lines, lower, upper, error, strict=True)
        if math.isfinite(low.sum() + up.sum() + e)
    )


def _straight_points(view: View, points: Sequence[BodyPoint]) -> list[BodyPoint]:
    frames, pixels = _places(points)
    straight = view.straight(frames, pixels)
    error = np.array([p.error_px for p in points]) * view.stretch(frames, pixels)
    if view.moves:
        error = np.hypot(error, view.lens_u_px(pixels))
    good = np.isfinite(straight.sum(axis=1) + error)
    rows = zip(points, straight.tolist(), error.tolist(), good.tolist(), strict=True)
    return [BodyPoint(p.frame, p.name, u, v, e) for p, (u, v), e, kept in rows if kept]


def _places(items: Sequence[GroundMark] | Sequence[BodyPoint]) -> tuple[npt.NDArray[np.int64], Floats]:
    frames = np.array([item.frame for item in items], dtype=np.int64)
    return frames, np.array([(item.u, item.v) for item in items], dtype=np.float64).reshape(-1, 2)
