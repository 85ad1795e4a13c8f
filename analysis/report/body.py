"""A body over a frame: its points, its limbs, the trunk in two pieces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from analysis.report.scene import Dot, Handle, Look, Scene, Stroke, scene, side_of
from analysis.values.command import Kind
from analysis.values.reading import Reading
from analysis.values.run import POINT_NAMES, BodyPoint, Run, Side
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
    run: Run,
    reading: Reading | None,
    frame: int,
    near: Side,
    tracks: Tracks | None = None,
    spots: Mapping[str, Spot] | None = None,
) -> Scene:
    """What lies over a frame, as ``scene`` says, with the body as far as it is placed or followed there.

    ``spots``: as ``spots_on`` gives them, where they are known already.
    """
    plain = scene(run, reading, frame, near)
    body = body_scene(spots_on(run, tracks, frame) if spots is None else spots, frame, near)
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
    return Spot((one.u + other.u) / 2, (one.v + other.v) / 2, worse(one, other), max(one.u_px, other.u_px))


def worse(one: Spot, other: Spot) -> Look:
    """The less sure look of two points."""
    order = (Look.PLACED, Look.FOLLOWED, Look.GUESSED)
    return max(one.look, other.look, key=order.index)


def _placed(point: BodyPoint) -> Spot:
    return Spot(point.u, point.v, Look.PLACED, point.error_px)


def _limb(lower: Spot, upper: Spot, name: str, side: Side | None, far: bool) -> Stroke:
    look = worse(lower, upper)
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
