"""A body over a frame: its points, limbs, the trunk in two pieces, the forward horizontal."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from analysis.report.scene import Dot, Handle, Look, Scene, Stroke, scene
from analysis.values.command import Kind
from analysis.values.posture import Series
from analysis.values.reading import Reading
from analysis.values.run import POINT_NAMES, BodyPoint, Direction, Run, Side
from analysis.values.tracks import Tracks

FOLLOWED_PART = "followed"
"""Part of a handle whose point is not placed on its frame: moved, it becomes a placed one."""

LIMBS = (
    ("shoulder", "elbow"),
    ("elbow", "wrist"),
    ("hip", "knee"),
    ("knee", "ankle"),
    ("ankle", "heel"),
    ("ankle", "toe"),
    ("heel", "toe"),
)
"""Points of one side that a limb joins."""

HORIZONTAL_SHARE = 0.6
"""How long the forward horizontal is drawn, against the segment whose angle it belongs to."""

Place = tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """Where a body point is on a frame, px, how it came there, and its standard uncertainty, px."""

    u: float
    v: float
    look: Look
    u_px: float

    @property
    def place(self) -> Place:
        """Both as one."""
        return self.u, self.v


def spots_on(run: Run, tracks: Tracks | None, frame: int) -> dict[str, Spot]:
    """The points of a frame by name: the placed ones, and those followed where none is placed."""
    found: dict[str, Spot] = {}
    for name in tracks.names if tracks is not None else ():
        point = tracks.point(frame, name) if tracks is not None else None
        if point is not None and tracks is not None:
            look = Look.GUESSED if tracks.guessed(frame, name) else Look.FOLLOWED
            found[name] = Spot(point.u, point.v, look, point.error_px)
    found |= {p.name: _placed(p) for p in run.points if p.frame == frame and p.name in POINT_NAMES}
    return {name: found[name] for name in POINT_NAMES if name in found}


def guesses_as_spots(points: Iterable[BodyPoint]) -> dict[str, Spot]:
    """Points that are only proposed."""
    return {p.name: Spot(p.u, p.v, Look.GUESSED, p.error_px) for p in points}


def whole_scene(
    run: Run, reading: Reading | None, frame: int, near: Side, tracks: Tracks | None = None
) -> Scene:
    """What lies over a frame, as ``scene`` says, with the body as far as it is placed or followed there."""
    plain = scene(run, reading, frame, near)
    body = body_scene(spots_on(run, tracks, frame), frame, near)
    return Scene(
        (*body.strokes, *plain.strokes),
        (*(d for d in plain.dots if d.kind is not Kind.POINT), *body.dots),
        (*(h for h in plain.handles if h.kind is not Kind.POINT), *body.handles),
        plain.numbers,
    )


def body_scene(spots: Mapping[str, Spot], frame: int, near: Side) -> Scene:
    """The limbs and points of one body; far limbs lie below near ones."""
    strokes = [*_side_limbs(spots, near.other, near), *_trunk(spots), *_side_limbs(spots, near, near)]
    dots, handles = [], []
    for name, spot in spots.items():
        point_id = f"{frame}:{name}"
        spread = 0.0 if spot.look is Look.PLACED else 1.96 * spot.u_px
        dots.append(Dot(Kind.POINT, point_id, side_of(name), spot.u, spot.v, "", spot.look, spread))
        part = "" if spot.look is Look.PLACED else FOLLOWED_PART
        handles.append(Handle(Kind.POINT, point_id, part, spot.u, spot.v))
    return Scene(tuple(strokes), tuple(dots), tuple(handles))


def middle(spots: Mapping[str, Spot], joint: str) -> Spot | None:
    """The middle of both sides' joints, else the one that is there."""
    there = [s for side in Side if (s := spots.get(f"{side.value}_{joint}")) is not None]
    if len(there) < 2:
        return there[0] if there else None
    one, other = there
    return Spot((one.u + other.u) / 2, (one.v + other.v) / 2, _worse(one, other), max(one.u_px, other.u_px))


def angle_strokes(
    spots: Mapping[str, Spot],
    frame: int,
    series: Iterable[Series],
    direction: Direction,
    near: Side,
    roll_deg: float = 0.0,
) -> tuple[Stroke, ...]:
    """The forward horizontal at trunk, shins and thighs with the angle that was read there.

    ``roll_deg``: how far the level rises towards the picture's right.
    """
    sign = 1.0 if direction is Direction.RIGHT else -1.0
    turn = math.radians(roll_deg)
    forward = sign * math.cos(turn), -sign * math.sin(turn)
    found = []
    for one in series:
        ends = _ENDS.get(one.measure)
        places = [] if ends is None else [_end(spots, one.side, name) for name in ends]
        at = [n for n, f in enumerate(one.frames) if f == frame]
        if not at or len(places) != 2 or places[0] is None or places[1] is None:
            continue
        lower, upper = places[0], places[1]
        reach = HORIZONTAL_SHARE * math.hypot(upper.u - lower.u, upper.v - lower.v)
        end = lower.u + reach * forward[0], lower.v + reach * forward[1]
        label = f"{one.value[at[0]]:.0f}°"
        far = one.side is not None and one.side is not near
        stroke_id = f"{frame}:{one.measure}:{one.side or ''}"
        found.append(
            Stroke(Kind.POINT, stroke_id, one.side, lower.place, end, label, far, Look.PLACED, thin=True)
        )
    return tuple(found)


def side_of(name: str) -> Side | None:
    """The side that a point's name tells."""
    return next((side for side in Side if name.startswith(f"{side.value}_")), None)


_ENDS = {"trunk_deg": ("hip", "shoulder"), "shin_deg": ("ankle", "knee"), "thigh_deg": ("knee", "hip")}


def _end(spots: Mapping[str, Spot], side: Side | None, name: str) -> Spot | None:
    return middle(spots, name) if side is None else spots.get(f"{side.value}_{name}")


def _placed(point: BodyPoint) -> Spot:
    return Spot(point.u, point.v, Look.PLACED, point.error_px)


def _worse(one: Spot, other: Spot) -> Look:
    order = (Look.PLACED, Look.FOLLOWED, Look.GUESSED)
    return max(one.look, other.look, key=order.index)


def _limb(lower: Spot, upper: Spot, name: str, side: Side | None, far: bool) -> Stroke:
    look = _worse(lower, upper)
    return Stroke(Kind.POINT, name, side, lower.place, upper.place, "", far, look, thin=True)


def _side_limbs(spots: Mapping[str, Spot], side: Side, near: Side) -> list[Stroke]:
    found = []
    for one, other in LIMBS:
        first, second = spots.get(f"{side.value}_{one}"), spots.get(f"{side.value}_{other}")
        if first is not None and second is not None:
            found.append(_limb(second, first, f"limb:{side.value}:{one}-{other}", side, side is not near))
    return found


def _trunk(spots: Mapping[str, Spot]) -> list[Stroke]:
    """From mid-hip by the mid-back to the neck, else as far as it is known, and on to the head."""
    top = spots.get("neck") or middle(spots, "shoulder")
    line = [middle(spots, "hip"), spots.get("mid_back"), top, spots.get("head")]
    known = [spot for spot in line if spot is not None]
    return [_limb(low, high, f"trunk:{n}", None, False) for n, (low, high) in enumerate(pairwise(known))]


Moved = Callable[[int, Place], Place | None]
"""Where a place of one frame lies on the frame that is shown; None where that can't be told."""


def others_scene(run: Run, tracks: Tracks | None, frame: int, near: Side, moved: Moved) -> Scene:
    """The bodies and lines of all other frames on which something was placed, to compare; nothing to hold."""
    strokes: list[Stroke] = []
    for other in sorted({int(p.frame) for p in run.points} - {frame}):
        spots = {}
        for name, spot in spots_on(run, tracks, other).items():
            place = moved(other, spot.place)
            if place is not None:
                spots[name] = Spot(place[0], place[1], spot.look, spot.u_px)
        strokes += body_scene(spots, other, near).strokes
    for line in run.lines:
        lower, upper = moved(line.frame, line.lower), moved(line.frame, line.upper)
        if line.frame != frame and lower is not None and upper is not None:
            far = line.side is not None and line.side is not near
            strokes.append(Stroke(Kind.LINE, line.id, line.side, lower, upper, "", far, thin=True))
    return Scene(tuple(strokes))
