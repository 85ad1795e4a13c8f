"""Where body points are, in metres along the run and above the ground, with errors that are carried along."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from analysis.body.errors import BodyErrors
from analysis.body.forms import AtMoment, Form, FormRead, Swing
from analysis.body.point_lines import Alone, EveryPoint, PointLine, PointsAt, PointTable
from analysis.ground.carried import Carried, Source, combine, normal, weighed, widened
from analysis.values.estimate import NoValue
from analysis.values.run import Side

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

OFFSETS_M: Mapping[str, tuple[float, float]] = {
    "shoulder": (0.18, 0.04),
    "elbow": (0.235, 0.05),
    "wrist": (0.185, 0.07),
    "hip": (0.09, 0.02),
    "knee": (0.095, 0.02),
    "ankle": (0.10, 0.05),
    "heel": (0.10, 0.05),
    "toe": (0.10, 0.05),
}
"""How far a joint lies beside the middle of the body, and the half width within which that may be off, m,
rectangular, opposite for left and right (hip and foot as in docs/measures.md, the others own assumptions).
The knee has this on top of half of what hip and foot are off: a leg that lands wide has its knee wide.
"""
TURN_M = {"hip": 0.012, "shoulder": 0.05}
"""How far one hip (shoulder) alone is from the middle of both as they turn, standard uncertainty, m (own
assumption: 8 and 13 degrees, the shoulders by a centimetre more because the hips turn the other way then)."""
NEAR_S = 0.06
"""Frames this close to a moment may tell how fast a point moves there, s (own assumption)."""
RATE_U = (4.0, 1.5)
"""How fast a point may move forwards and up where nothing tells, standard uncertainty, m/s (own
assumption)."""
CAMERA_ROLL = math.radians(2.0)
"""How far an unlevelled camera is rolled where no mark shows it, standard uncertainty, rad."""
EYE_HEIGHT_M = 1.2
"""How high the camera stands above the ground, m (own assumption; half a metre more moves a foot by 5 mm)."""


class Moment(NamedTuple):
    """An event or a frame: the tagged ``frame``, and its ``time`` in s of film time with its error."""

    frame: int
    time: Carried

    @property
    def seconds(self) -> float:
        """Its most likely time, s."""
        return self.time.nominal_value


def on_frame(frame: int, seconds: Floats) -> Moment:
    """The moment of a frame itself, without an error."""
    return Moment(frame, combine(float(seconds[frame]), {}))


@dataclass(frozen=True)
class Place:
    """A point at a moment. ``frames``: those it rests on. ``partial``: how fast it moves there is not known,
    or one side stands for the middle of both. ``guessed``: the point is hidden there.
    """

    x: Carried
    y: Carried
    frames: tuple[int, ...]
    partial: bool = False
    guessed: bool = False


@dataclass(frozen=True, eq=False)
class BodyPlaces:
    """All points of a film. ``no_scale``: why there is no scale, where there is none: then places are pixels,
    forwards and up, good for angles only. ``near``: the athlete's side that the camera sees. ``memory``: over
    how many frames the error of a followed point loses all but 1/e of what it was; 0 where each was placed
    on its own.
    ``ahead``: forms that were read many at once; ``swings``: through flights, by form, toe-off and touchdown.
    """

    seconds: Floats
    every: EveryPoint
    lines: Mapping[str, PointLine]
    sources: tuple[Source, ...]
    no_scale: NoValue | None
    near: Side
    memory: float = 0.0
    ahead: dict[AtMoment, FormRead] = field(default_factory=dict)
    swings: dict[tuple[Form, int, int], Swing] = field(default_factory=dict)
    centres: dict[tuple[str, int, float], Place] = field(default_factory=dict)
    _variances: dict[str, Floats] = field(default_factory=dict)
    _means: dict[tuple[str, bytes], Place | None] = field(default_factory=dict)
    _known: dict[tuple[str, int, float], Place | None] = field(default_factory=dict)
    _between: dict[tuple[int, float], tuple[PointsAt, int]] = field(default_factory=dict)
    _alone: dict[tuple[int, float], list[Alone]] = field(default_factory=dict)
    _on: dict[int, frozenset[str]] = field(default_factory=dict)

    @property
    def in_metres(self) -> bool:
        """Whether places are metres, not pixels."""
        return self.no_scale is None

    def afresh(self) -> BodyPlaces:
        """The same places with nothing read off them yet: what is read hangs on the errors of the tags."""
        return BodyPlaces(
            self.seconds, self.every, self.lines, self.sources, self.no_scale, self.near, self.memory
        )

    @cached_property
    def errors(self) -> BodyErrors:
        """What its points' errors are made of."""
        return BodyErrors(self.sources, self.in_metres)

    def at(self, name: str, moment: Moment) -> Place | None:
        """A point at a moment, None where it is not placed within a frame of it.

        Between the frames on either side of an event the place is interpolated, and moved with the event's
        own error at the rate between them; from one frame alone it is moved at the rate that the nearest
        frames within 60 ms tell, else it is partial. Asked twice it is the same number.
        """
        key = (name, moment.frame, moment.seconds)
        if key not in self._known:
            line = self.lines.get(name)
            self._known[key] = None if line is None else self._at(name, line, moment)
        return self._known[key]

    def middle(self, joint: str, moment: Moment) -> Place | None:
        """The middle of both hips or shoulders; one of them alone is partial."""
        return self._middle(joint, [self.at(f"{side}_{joint}", moment) for side in Side])

    def _middle(self, joint: str, sides: Sequence[Place | None]) -> Place | None:
        both = [place for place in sides if place is not None]
        if not both:
            return None
        if len(both) == 1:
            one = both[0]
            turn = normal(TURN_M[joint]) if self.in_metres else normal(0.0)
            return Place(widened(one.x, turn), one.y, one.frames, True, one.guessed)
        a, b = both
        frames = tuple(sorted({*a.frames, *b.frames}))
        x, y = weighed((0.5, 0.5), (a.x, b.x)), weighed((0.5, 0.5), (a.y, b.y))
        return Place(x, y, frames, a.partial or b.partial, False)

    def weighted(self, weights: Mapping[str, float], moment: Moment) -> Place:
        """A weighted sum of points that ``at`` finds, with the errors that they share kept.

        Points that stand on both frames beside the moment go together; their own errors become one.
        """
        together = [n for n in weights if self._spans(n, moment)]
        parts = [(weights[n], place) for n in weights if n not in together and (place := self.at(n, moment))]
        assert len(parts) + len(together) == len(weights), "asked for a point that is not there"
        if together:
            parts.append((1.0, self._together({n: weights[n] for n in together}, moment)))
        shares = [share for share, _ in parts]
        return Place(
            weighed(shares, [p.x for _, p in parts]),
            weighed(shares, [p.y for _, p in parts]),
            tuple(sorted({f for _, p in parts for f in p.frames})),
            any(p.partial for _, p in parts),
            any(p.guessed for _, p in parts),
        )

    def on(self, frame: int) -> frozenset[str]:
        """The points that stand on a frame."""
        if frame not in self._on:
            self._on[frame] = frozenset([name for name, held in self._held.items() if frame in held])
        return self._on[frame]

    @cached_property
    def _held(self) -> dict[str, Collection[int]]:
        return {name: line.held for name, line in self.lines.items()}

    def _spans(self, name: str, moment: Moment) -> bool:
        """Whether a point stands on the moment's frame and the one before."""
        return name in self.on(moment.frame) and name in self.on(moment.frame - 1)

    def _together(self, weights: Mapping[str, float], moment: Moment) -> Place:
        """A weighted sum of points that stand on both frames beside a moment, between the two."""
        points, n = self.between(moment)
        at = [points.place[name] for name in weights]
        if len(at) == 1 and 1.0 in weights.values():
            xy, rate, own, shared, guessed = self._each(moment)[at[0]]
        else:
            weight = np.array(list(weights.values()))
            xy, rate = (weight @ points.xy[n, at]).tolist(), (weight @ points.rate[n, at]).tolist()
            own = np.sqrt(weight**2 @ points.own[n, at] ** 2).tolist()
            shared = (weight @ points.shared[n, at].reshape(len(at), -1)).reshape(2, -1).tolist()
            guessed = bool(points.guessed[n, at].any())
        late = moment.time.derivatives.items()
        of_points, share = self.errors.anatomy_of(weights) if self.in_metres else (None, 0.0)
        made = []
        for axis in (0, 1):
            parts = self.errors.shared_parts(shared[axis])
            parts[normal(own[axis])] = 1.0
            if of_points is not None:
                parts[of_points[axis]] = share
            for source, change in late:
                parts[source] = rate[axis] * change
            made.append(combine(xy[axis], parts))
        return Place(made[0], made[1], (moment.frame - 1, moment.frame), False, guessed)

    @cached_property
    def _some_guessed(self) -> bool:
        return bool(self.every.guessed.any())

    def guessed(self, line: PointLine, frames: Whole) -> bool:
        """Whether a point is hidden on one of the frames, which it holds."""
        return self._some_guessed and bool(line.guessed[line.rows(frames)].any())

    @cached_property
    def table(self) -> PointTable:
        """The points for many moments at once."""
        return PointTable(self.every, self.lines, self.seconds)

    def between(self, moment: Moment) -> tuple[PointsAt, int]:
        """All points between the frame of a moment and the one before, and which of its moments it is."""
        self.learn_between([moment])
        return self._between[moment.frame, moment.seconds]

    def learn_between(self, moments: Iterable[Moment]) -> None:
        """Work out all points at many moments at once; each once only."""
        new = dict.fromkeys(key for m in moments if (key := (m.frame, m.seconds)) not in self._between)
        if new:
            points = self.table.between(*zip(*new, strict=True))
            self._between.update({key: (points, n) for n, key in enumerate(new)})

    def _each(self, moment: Moment) -> list[Alone]:
        key = (moment.frame, moment.seconds)
        if key not in self._alone:
            points, n = self.between(moment)
            self._alone[key] = points.each(n)
        return self._alone[key]

    def mean(self, name: str, frames: Whole) -> Place | None:
        """Where a point is on average over frames, those of them that hold it; None where none does.

        Its own error is the less the more frames there are, as far as theirs have little to do with each
        other: that of a followed point lasts over ``memory`` frames.
        """
        key = (name, frames.tobytes())
        if key not in self._means:
            self._means[key] = self._mean(name, frames)
        return self._means[key]

    def _mean(self, name: str, frames: Whole) -> Place | None:
        line = self.lines.get(name)
        held = frames[line.holds(frames)] if line is not None else frames[:0]
        if line is None or not len(held):
            return None
        rows = line.rows(held)
        apart = np.abs(np.subtract.outer(held, held))
        alike = np.exp(-apart / self.memory) if self.memory > 0 else np.eye(len(held))
        own = line.own[rows]
        spread = np.sqrt(((alike @ own) * own).sum(axis=0)) / len(held)
        x, y = self.carried(name, line.xy[rows].mean(axis=0), spread, line.shared[rows].mean(axis=0))
        return Place(x, y, tuple(held.tolist()), False, bool(line.guessed[rows].any()))

    def mean_middle(self, joint: str, frames: Whole) -> Place | None:
        """The same of the middle of both hips or shoulders; one of them alone is partial."""
        return self._middle(joint, [self.mean(f"{side}_{joint}", frames) for side in Side])

    def carried(self, name: str, xy: Floats, own: Floats, shared: Floats) -> tuple[Carried, Carried]:
        """A place with its own, shared and anatomical errors, as (x, y)."""
        made = []
        for axis in (0, 1):
            parts = self.errors.shared_parts(shared[axis].tolist())
            parts[normal(float(own[axis]))] = 1.0
            if self.in_metres:
                parts[self.errors.anatomy(name)[axis]] = 1.0
            made.append(combine(float(xy[axis]), parts))
        return made[0], made[1]

    def own_variance(self, name: str) -> Floats:
        """Variance of a point's place by its own errors and where it lies under the skin, (k, 2)."""
        if name not in self._variances:
            under = self.errors.anatomy(name)[0].u if self.in_metres else 0.0
            self._variances[name] = self.lines[name].own ** 2 + under**2
        return self._variances[name]

    def _at(self, name: str, line: PointLine, moment: Moment) -> Place | None:
        here = line.row(moment.frame)
        offset = moment.seconds - float(self.seconds[moment.frame])
        if here is not None and offset == 0.0 and moment.time.std_dev == 0.0:
            return self._one(name, line, here)
        if self._spans(name, moment):
            return self._together({name: 1.0}, moment)
        before = line.row(moment.frame - 1)
        row = here if here is not None else before
        if row is None:
            return None
        away = moment.time - float(self.seconds[line.frames[row]])
        place = self._one(name, line, row)
        beside = self._beside(line, row)
        if beside is None:
            spread = math.hypot(float(away.nominal_value), float(away.std_dev))
            scale = 1.0 if self.in_metres else self._px_per_m()
            u = [normal(rate * spread * scale) for rate in RATE_U]
            x, y = widened(place.x, u[0]), widened(place.y, u[1])
            return Place(x, y, place.frames, True, place.guessed)
        a, b = beside
        gap = float(self.seconds[line.frames[b]] - self.seconds[line.frames[a]])
        rate = (line.xy[b] - line.xy[a]) / gap
        frames = tuple(sorted({int(line.frames[r]) for r in (a, b, row)}))
        return Place(
            place.x + float(rate[0]) * away, place.y + float(rate[1]) * away, frames, False, place.guessed
        )

    def _one(self, name: str, line: PointLine, row: int) -> Place:
        x, y = self.carried(name, line.xy[row], line.own[row], line.shared[row])
        return Place(x, y, (int(line.frames[row]),), False, bool(line.guessed[row]))

    def _beside(self, line: PointLine, row: int) -> tuple[int, int] | None:
        times = self.seconds[line.frames]
        near = np.flatnonzero(np.abs(times - times[row]) <= NEAR_S)
        below, above = max(near[0], row - 1), min(near[-1], row + 1)
        return None if below == above else (int(below), int(above))

    def _px_per_m(self) -> float:
        heights = [np.ptp(line.xy[:, 1]) for line in self.lines.values()]
        return max(60.0, float(max(heights, default=60.0))) / 1.2
