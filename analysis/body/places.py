"""Where body points are, in metres along the run and above the ground, with errors that are carried along."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Source, combine, normal, rectangular
from analysis.ground.ground import Ground
from analysis.values.estimate import NoValue
from analysis.values.run import BodyPoint, Direction, Side

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

OFFSETS_M: Mapping[str, tuple[float, float]] = {
    "shoulder": (0.18, 0.04),
    "elbow": (0.235, 0.05),
    "wrist": (0.185, 0.07),
    "hip": (0.09, 0.02),
    "knee": (0.095, 0.04),
    "ankle": (0.10, 0.05),
    "heel": (0.10, 0.05),
    "toe": (0.10, 0.05),
}
"""How far a joint lies beside the middle of the body, and the half width within which that may be off, m,
rectangular, opposite for left and right (hip and foot as in docs/measures.md, the others own assumptions).
"""
ANATOMY_M: Mapping[str, float] = {"hip": 0.02, "shoulder": 0.02}
"""Where a point lies under skin and clothes, standard uncertainty along each axis, constant over a film,
m.
"""
ANATOMY_ELSE_M = 0.01
TURN_M = {"hip": 0.012, "shoulder": 0.04}
"""How far one hip (shoulder) alone is from the middle of both as they turn, standard uncertainty, m (own
assumption: 8 and 13 degrees)."""
NEAR_S = 0.06
"""Frames this close to a moment may tell how fast a point moves there, s (own assumption)."""
RATE_U = (4.0, 1.5)
"""How fast a point may move forwards and up where nothing tells, standard uncertainty, m/s (own
assumption)."""
CAMERA_ROLL = math.radians(2.0)
"""How far an unlevelled camera is rolled where no mark shows it, standard uncertainty, rad."""
EYE_HEIGHT_M = 1.2
"""How high the camera stands above the ground, m (own assumption; half a metre more moves a foot by 5 mm)."""


@dataclass(frozen=True)
class Moment:
    """An event or a frame: the tagged ``frame``, and its ``time`` in s of film time with its error."""

    frame: int
    time: Carried

    @property
    def seconds(self) -> float:
        """Its most likely time, s."""
        return float(self.time.nominal_value)


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
class PointLine:
    """One point over its frames. ``xy``: (k, 2). ``own``: (k, 2) standard uncertainties. ``shared``:
    (k, 2, s) changes by one standard uncertainty of each shared source.
    """

    frames: Whole
    xy: Floats
    own: Floats
    shared: Floats
    guessed: npt.NDArray[np.bool_]

    def row(self, frame: int) -> int | None:
        """The row of a frame, or None."""
        row = int(np.searchsorted(self.frames, frame))
        return row if row < len(self.frames) and self.frames[row] == frame else None


@dataclass(frozen=True, eq=False)
class BodyPlaces:
    """All points of a film. ``in_metres``: False where there is no scale: then places are pixels, forwards
    and up, good for angles only. ``near``: the athlete's side that the camera sees. ``memory``: over how many
    frames the error of a followed point stays much the same; 0 where each was placed on its own.
    """

    seconds: Floats
    lines: Mapping[str, PointLine]
    sources: tuple[Source, ...]
    in_metres: bool
    near: Side
    memory: float = 0.0
    _known: dict[tuple[str, int, float], Place | None] = field(default_factory=dict)
    _anatomy: dict[str, tuple[Source, Source]] = field(default_factory=dict)

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
        both = [p for side in Side if (p := self.at(f"{side.value}_{joint}", moment)) is not None]
        if not both:
            return None
        if len(both) == 1:
            one = both[0]
            turn = normal(TURN_M[joint]) if self.in_metres else normal(0.0)
            return Place(one.x + turn, one.y, one.frames, True, one.guessed)
        a, b = both
        frames = tuple(sorted({*a.frames, *b.frames}))
        return Place((a.x + b.x) / 2, (a.y + b.y) / 2, frames, a.partial or b.partial, False)

    def carried(self, name: str, xy: Floats, own: Floats, shared: Floats) -> tuple[Carried, Carried]:
        """A place with its own, shared and anatomical errors, as (x, y)."""
        made = []
        for axis in (0, 1):
            parts: dict[Source, float] = {
                s: float(m) / float(s.std_dev)
                for s, m in zip(self.sources, shared[axis], strict=True)
                if m and s.std_dev > 0
            }
            parts[normal(float(own[axis]))] = 1.0
            if self.in_metres:
                parts[self.anatomy(name)[axis]] = 1.0
            made.append(combine(float(xy[axis]), parts))
        return made[0], made[1]

    def anatomy(self, name: str) -> tuple[Source, Source]:
        """The constant error of where a point lies under the skin, along each axis."""
        if name not in self._anatomy:
            u = ANATOMY_M.get(name.split("_", 1)[-1], ANATOMY_ELSE_M)
            self._anatomy[name] = (normal(u), normal(u))
        return self._anatomy[name]

    def _at(self, name: str, line: PointLine, moment: Moment) -> Place | None:
        here = line.row(moment.frame)
        offset = moment.seconds - float(self.seconds[moment.frame])
        if here is not None and offset == 0.0 and moment.time.std_dev == 0.0:
            return self._one(name, line, here)
        before = line.row(moment.frame - 1)
        if here is not None and before is not None:
            return self._between(name, line, before, here, moment)
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
            return Place(place.x + u[0], place.y + u[1], place.frames, True, place.guessed)
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

    def _between(self, name: str, line: PointLine, a: int, b: int, moment: Moment) -> Place:
        begin, end = (float(self.seconds[line.frames[r]]) for r in (a, b))
        share = (moment.seconds - begin) / (end - begin)
        # the errors of neighbouring frames are taken as one: they are where a point was followed
        xy, own, shared = (
            (1 - share) * values[a] + share * values[b] for values in (line.xy, line.own, line.shared)
        )
        x, y = self.carried(name, xy, own, shared)
        rate = (line.xy[b] - line.xy[a]) / (end - begin)
        away = moment.time - moment.seconds
        frames = (int(line.frames[a]), int(line.frames[b]))
        guessed = bool(line.guessed[a] or line.guessed[b])
        return Place(x + float(rate[0]) * away, y + float(rate[1]) * away, frames, False, guessed)

    def _beside(self, line: PointLine, row: int) -> tuple[int, int] | None:
        times = self.seconds[line.frames]
        near = np.flatnonzero(np.abs(times - times[row]) <= NEAR_S)
        below, above = max(near[0], row - 1), min(near[-1], row + 1)
        return None if below == above else (int(below), int(above))

    def _px_per_m(self) -> float:
        heights = [np.ptp(line.xy[:, 1]) for line in self.lines.values()]
        return max(60.0, float(max(heights, default=60.0))) / 1.2


def body_places(
    ground: Ground | NoValue,
    direction: Direction,
    points: Iterable[BodyPoint],
    seconds: Floats,
    guessed: Iterable[str] = (),
    memory: float = 0.0,
) -> BodyPlaces:
    """Points in pixels as places. ``seconds``: capture times of all frames. ``guessed``: ids of the points
    that are hidden on their frame. Without a ground the places are pixels, forwards and up.
    """
    by_name: dict[str, list[BodyPoint]] = {}
    for p in points:
        if 0 <= p.frame < len(seconds) and math.isfinite(p.u + p.v + p.error_px) and p.error_px > 0:
            by_name.setdefault(p.name, []).append(p)
    hidden = set(guessed)
    near = Side.RIGHT if direction is Direction.RIGHT else Side.LEFT
    offsets = {joint: rectangular(half) for joint, (_, half) in OFFSETS_M.items()}
    if isinstance(ground, NoValue):
        sources: tuple[Source, ...] = (normal(CAMERA_ROLL),)
    else:
        offsets |= {"hip": ground.shared.hip, "ankle": ground.shared.foot}
        offsets |= {"heel": ground.shared.foot, "toe": ground.shared.foot}
        sources = (*ground.shared.plane, ground.shared.distance, *dict.fromkeys(offsets.values()))
    lines = {}
    for name, named in by_name.items():
        named.sort(key=lambda p: p.frame)
        frames = np.array([p.frame for p in named], dtype=np.int64)
        if isinstance(ground, NoValue):
            xy, own, shared = _in_picture(direction, named)
        else:
            xy, own, shared = _in_metres(ground, name, named, sources, offsets)
        lines[name] = PointLine(frames, xy, own, shared, np.array([p.id in hidden for p in named]))
    return BodyPlaces(seconds, lines, sources, not isinstance(ground, NoValue), near, memory)


def _in_picture(direction: Direction, named: Sequence[BodyPoint]) -> tuple[Floats, Floats, Floats]:
    forward = -1.0 if direction is Direction.LEFT else 1.0
    xy = np.array([(forward * p.u, -p.v) for p in named])
    own = np.array([(p.error_px, p.error_px) for p in named])
    shared = np.stack([-xy[:, 1], xy[:, 0]], axis=1)[:, :, None] * CAMERA_ROLL
    return xy, own, shared


def _in_metres(
    ground: Ground,
    name: str,
    named: Sequence[BodyPoint],
    sources: tuple[Source, ...],
    offsets: Mapping[str, Source],
) -> tuple[Floats, Floats, Floats]:
    """Places in the middle plane of the body: a point z nearer to the camera than the line reads too far out
    from the point that the camera faces, forwards and up alike.
    """
    pixels = np.array([(p.u, p.v) for p in named])
    error = np.array([p.error_px for p in named])
    xy = ground.metres(pixels)
    own = error[:, None] * np.sqrt((ground.pixel_changes(pixels) ** 2).sum(axis=0))
    moves = ground.map_changes(pixels).transpose(1, 2, 0)
    side, _, joint = name.partition("_")
    lateral = joint in OFFSETS_M and side in ("left", "right")
    toward = (1.0 if side == ground.side_near.value else -1.0) if lateral else 0.0
    z = OFFSETS_M[joint][0] * toward if lateral else 0.0
    camera = ground.camera
    eye = np.array([camera.x_m, EYE_HEIGHT_M])
    shrink = 1.0 - z / camera.distance_m
    from_eye = xy - eye
    shared = np.zeros((len(named), 2, len(sources)))
    shared[:, :, : moves.shape[2]] = moves * shrink
    at = {source: i for i, source in enumerate(sources)}
    distance = ground.shared.distance
    shared[:, :, at[distance]] = from_eye * z / camera.distance_m**2 * float(distance.std_dev)
    if lateral:
        beside = offsets[joint]
        shared[:, :, at[beside]] = -from_eye / camera.distance_m * toward * float(beside.std_dev)
    return eye + from_eye * shrink, own * abs(shrink), shared
