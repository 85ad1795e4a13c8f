"""Angles and the centre of mass on every frame at once, their errors by gradients: arrays in, arrays out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from analysis.body.centre_of_mass import centre_of_mass
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces
from analysis.body.point_lines import Singles
from analysis.ground.point_rows import PointRows
from analysis.values.estimate import NoValue
from analysis.values.posture import MassPath, Series
from analysis.values.run import POINT_NAMES, Side

F = TypeVar("F", npt.NDArray[np.float64], npt.NDArray[np.float32])
Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
End = tuple[str, ...]
"""Points whose middle an end of a segment is."""


@dataclass(frozen=True, eq=False)
class Turn:
    """An angle in deg over frames, (n,), and how it changes with each point's place, deg per unit, (n, 2),
    and with one standard uncertainty of each error that points share, (sources, n).
    """

    value: Floats
    changes: Mapping[str, Floats]
    shared: Singles

    def __sub__(self, other: Turn) -> Turn:
        changes = dict(self.changes)
        for name, change in other.changes.items():
            changes[name] = changes[name] - change if name in changes else -change
        return Turn(_wrapped(self.value - other.value), changes, self.shared - other.shared)


def _wrapped(angle: Floats) -> Floats:
    out: Floats = 180.0 - (180.0 - angle) % 360.0
    return out


@dataclass(frozen=True, eq=False)
class _Cut:
    """The points on frames on which they all are; ``rows``: theirs in each point's line."""

    body: BodyPlaces
    frames: Whole
    rows: Mapping[str, Whole | slice]

    def xy(self, end: End) -> Floats:
        return _mean([self.body.lines[n].xy[self.rows[n]] for n in end])

    def segment(self, lower: End, upper: End) -> Turn:
        """Angle of the vector from ``lower`` to ``upper``, from the forward horizontal, 90 upright."""
        span = self.xy(upper) - self.xy(lower)
        x, y = span[:, 0], span[:, 1]
        by = math.degrees(1.0) / np.maximum(x * x + y * y, 1e-12)
        per = np.empty_like(span)  # numpy is slow on axes of two: along the frames at a time
        np.multiply(-y, by, out=per[:, 0])
        np.multiply(x, by, out=per[:, 1])
        changes: dict[str, Floats] = dict.fromkeys(upper, per / len(upper))
        changes |= dict.fromkeys(lower, per / -len(lower))
        by_axis = self.shared(upper) - self.shared(lower)
        by_axis *= per.astype(np.float32).T[:, None]
        return Turn(np.degrees(np.arctan2(y, x)), changes, by_axis[0] + by_axis[1])

    def shared(self, end: End) -> Singles:
        """Moves of an end by each error that points share, (2, sources, n)."""
        return _mean([self.body.lines[n].shared[self.rows[n]].transpose(1, 2, 0) for n in end])

    def u(self, turn: Turn) -> Floats:
        """Standard uncertainty of an angle, (n,), by own, shared and anatomical errors of the points."""
        variance = (turn.shared * turn.shared).sum(axis=0, dtype=np.float64)
        for name, change in turn.changes.items():
            by_axis = change * change
            by_axis *= self.body.own_variance(name)[self.rows[name]]
            variance += by_axis[:, 0]
            variance += by_axis[:, 1]
        out: Floats = np.sqrt(variance)
        return out

    def u_of_sum(self, weights: Mapping[str, float]) -> Floats:
        """Standard uncertainty along each axis of a weighted sum of the points, (n, 2)."""
        shared = np.zeros((2, len(self.body.sources), len(self.frames)), np.float32)
        own = np.zeros((len(self.frames), 2))
        for name, weight in weights.items():
            rows = self.rows[name]
            shared += weight * self.body.lines[name].shared[rows].transpose(1, 2, 0)
            own += weight**2 * self.body.own_variance(name)[rows]
        shared *= shared
        out: Floats = np.sqrt(own + shared.sum(axis=1).T)
        return out

    def guessed(self) -> Flags:
        out = np.zeros(len(self.frames), bool)
        for name, rows in self.rows.items():
            out |= self.body.lines[name].guessed[rows]
        return out


def _cut(body: BodyPlaces, names: Sequence[str], without: Whole | None = None) -> _Cut | None:
    """The frames on which all of these points are, less those ``without``; None where there are none."""
    if any(name not in body.lines for name in names):
        return None
    frames = body.lines[names[0]].frames
    for name in names[1:]:
        other = body.lines[name].frames
        if other is not frames and not np.array_equal(other, frames):
            frames = np.intersect1d(frames, other, assume_unique=True)
    if without is not None and len(without):
        frames = frames[~np.isin(frames, without)]
    if not len(frames):
        return None
    return _Cut(body, frames, {n: _rows(body.lines[n].frames, frames) for n in names})


def _mean(each: Sequence[F]) -> F:
    """The points of an end, or their middle."""
    if len(each) == 1:
        return each[0]
    both = each[0] + each[1]
    both /= 2
    return both


def _rows(of: Whole, frames: Whole) -> Whole | slice:
    """The rows of frames among all that a line stands on; where it is all of them nothing need be copied."""
    return slice(None) if len(of) == len(frames) else np.searchsorted(of, frames)


def _middles(joint: str) -> tuple[End, End, End]:
    return (f"left_{joint}", f"right_{joint}"), (f"left_{joint}",), (f"right_{joint}",)


_HIPS, _SHOULDERS = _middles("hip"), _middles("shoulder")


def _read(
    body: BodyPlaces,
    measure: str,
    side: Side | None,
    ways: Iterator[tuple[tuple[End, End], ...]],
    known: dict[tuple[bytes, End, End], Turn],
) -> Series | None:
    """A measure of one segment, or of the difference of two, by the first way that each frame allows.

    ``known``: segments that were read before, by their frames and ends.

    ``ways``: each one or two segments, a segment as (lower, upper).
    """
    parts: list[tuple[Whole, Floats, Floats, Flags]] = []
    seen = np.empty(0, np.int64)
    for segments in ways:
        names = list(dict.fromkeys(n for lower, upper in segments for n in (*lower, *upper)))
        if parts and names[0] in body.lines and np.array_equal(body.lines[names[0]].frames, seen):
            continue  # the first way holds every frame that this one could
        cut = _cut(body, names, seen)
        if cut is None:
            continue
        turns = []
        for lower, upper in segments:
            key = (cut.frames.tobytes(), lower, upper)
            if key not in known:
                known[key] = cut.segment(lower, upper)
            turns.append(known[key])
        turn = turns[0] if len(turns) == 1 else turns[0] - turns[1]
        parts.append((cut.frames, _SHAPES[measure](turn.value), cut.u(turn), cut.guessed()))
        seen = np.concatenate([seen, cut.frames]) if len(seen) else cut.frames
    if not parts:
        return None
    if len(parts) == 1:
        return Series(measure, side, *parts[0])
    order = np.argsort(seen, kind="stable")
    value, u, guessed = (np.concatenate([p[i] for p in parts])[order] for i in (1, 2, 3))
    return Series(measure, side, seen[order], value, u, guessed)


def _signed(angle: Floats) -> Floats:
    return angle


def _unsigned(angle: Floats) -> Floats:
    out: Floats = np.abs(angle)
    return out


def _included(angle: Floats) -> Floats:
    out: Floats = 180.0 - np.abs(angle)
    return out


_SHAPES = {
    "trunk_deg": _signed,
    "spine_bend_deg": _signed,
    "shin_deg": _signed,
    "thigh_deg": _signed,
    "knee_deg": _included,
    "hip_deg": _included,
    "ankle_deg": _unsigned,
    "thigh_separation_deg": _unsigned,
    "line_deg": _signed,
}
"""The angles that are read over the frames: of trunk, shin and thigh from the forward horizontal; spine bend;
included angles of knee, hip and ankle, 180 straight (that of the ankle between knee and shoe tip); the angle
between the two thighs (measures.md)."""


def angle_series(body: BodyPlaces) -> list[Series]:
    """Every angle on every frame that holds its points; middle joints by both sides, else by the one."""
    known: dict[tuple[bytes, End, End], Turn] = {}

    def read(measure: str, side: Side | None, *ways: tuple[tuple[End, End], ...]) -> Series | None:
        return _read(body, measure, side, iter(ways), known)

    back, neck = ("mid_back",), ("neck",)
    made = [
        read("trunk_deg", None, *(((h, s),) for h, s in product(_HIPS, _SHOULDERS))),
        read("spine_bend_deg", None, *(((h, back), (back, neck)) for h in _HIPS)),
    ]
    for side in Side:
        hip, knee, ankle, toe = ((f"{side}_{joint}",) for joint in ("hip", "knee", "ankle", "toe"))
        shin, thigh = (ankle, knee), (knee, hip)
        made.append(read("shin_deg", side, (shin,)))
        made.append(read("thigh_deg", side, (thigh,)))
        made.append(read("knee_deg", side, (thigh, shin)))
        made.append(read("hip_deg", side, *(((hip, s), thigh) for s in _SHOULDERS)))
        made.append(read("ankle_deg", side, (shin, (ankle, toe))))
    thighs = ((("left_knee",), ("left_hip",)), (("right_knee",), ("right_hip",)))
    made.append(read("thigh_separation_deg", None, thighs))
    return [one for one in made if one is not None]


def line_between(body: BodyPlaces, lower: str, upper: str) -> Series | None:
    """Angle of the line from one body point to another, from the forward horizontal, on every frame that
    holds both; None where no frame does.
    """
    made = _read(body, "line_deg", None, iter([(((lower,), (upper,)),)]), {})
    return None if made is None else replace(made, between=(lower, upper))


def mass_path(body: BodyPlaces, pixels: Mapping[str, PointRows], model: MassModel) -> MassPath | None:
    """The centre of mass on every frame that holds enough of the body, by the points that are there.

    ``pixels``: the points as the picture of each frame has them.
    """
    names = [n for n in POINT_NAMES if n in body.lines and n in pixels]
    if not names:
        return None
    there = np.zeros(len(body.seconds), np.int64)
    for bit, name in enumerate(names):
        there[body.lines[name].frames] |= 1 << bit
    found = []
    for kind in np.unique(there[there > 0]).tolist():
        have = [name for bit, name in enumerate(names) if kind >> bit & 1]
        centre = centre_of_mass(model, have)
        if isinstance(centre, NoValue):
            continue
        here = np.flatnonzero(there == kind)
        cut = _Cut(body, here, {n: _rows(body.lines[n].frames, here) for n in centre.weights})
        weights = centre.weights.items()
        shown = sum(w * pixels[n].uv[_rows(pixels[n].frames, here)] for n, w in weights)
        xy = sum(w * body.lines[n].xy[cut.rows[n]] for n, w in weights)
        u = cut.u_of_sum(centre.weights)
        partial = np.full(len(here), centre.partial)
        found.append(
            (here, np.asarray(shown), np.asarray(xy), np.hypot(u, centre.u_m), partial, cut.guessed())
        )
    if not found:
        return None
    order = np.argsort(np.concatenate([f[0] for f in found]), kind="stable")
    at, shown, xy, u, partial, guessed = (np.concatenate([f[i] for f in found])[order] for i in range(6))
    if not body.in_metres:
        xy, u = np.full_like(xy, np.nan), np.full_like(u, np.nan)
    return MassPath(at.astype(np.int64), shown, xy, u, partial.astype(np.bool_), guessed.astype(np.bool_))
