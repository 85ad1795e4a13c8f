"""Where the mass of a segment lies whose points are missing: near the joints beside it that are there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from analysis.body.mass_models import HEAD_OVER_NECK, HEAD_OVER_SHOULDERS, MassModel, Segment

Parts = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class StandIn:
    """``parts``: points with shares that sum to 1. ``spread_m``: how far the segment's centre may lie from
    there along each axis, standard uncertainty, m (own assumptions: a limb that is free to swing).
    """

    parts: Parts
    spread_m: float


def _trunk(down: float, top: str = "mid_shoulder") -> Parts:
    """A place on the trunk's line so far down from the shoulders to the hips; negative: above them."""
    return (top, 1.0 - down), ("mid_hip", down)


def _arm(upper: bool, hand: bool) -> tuple[StandIn, ...]:
    """Of a segment of an arm, whose points are given without their side."""
    if upper:
        return (
            StandIn((("mid_shoulder", 0.42), ("elbow", 0.58)), 0.08),
            StandIn(_trunk(0.2), 0.13),
            StandIn(_trunk(0.3, "neck"), 0.15),
        )
    far = 0.35 if hand else 0.28
    return (
        StandIn((("wrist", 1.0),), 0.08 if hand else 0.14),
        StandIn((("elbow", 1.0),), 0.28 if hand else 0.13),
        StandIn(_trunk(0.4), far),
        StandIn(_trunk(0.5, "neck"), far),
    )


_THIGH = (StandIn((("mid_hip", 0.59), ("knee", 0.41)), 0.06), StandIn((("mid_hip", 1.0),), 0.2))
_SHANK = (
    StandIn((("ankle", 1.0),), 0.28),
    StandIn((("knee", 1.0),), 0.2),
    StandIn((("mid_hip", 1.0),), 0.5),
)
_FOOT = (
    StandIn((("heel", 1.0),), 0.12),
    StandIn((("toe", 1.0),), 0.14),
    StandIn((("ankle", 1.0),), 0.1),
    StandIn((("knee", 1.0),), 0.5),
    StandIn((("mid_hip", 1.0),), 0.7),
)
_OF_LIMBS = {
    "upper arm": _arm(upper=True, hand=False),
    "forearm": _arm(upper=False, hand=False),
    "forearm and hand": _arm(upper=False, hand=False),
    "hand": _arm(upper=False, hand=True),
    "thigh": _THIGH,
    "shank": _SHANK,
    "foot": _FOOT,
}


def stand_ins(model: MassModel, segment: Segment) -> tuple[StandIn, ...]:
    """What may stand for a segment, the best first; none for the trunk."""
    side, _, name = segment.name.partition(" ")
    if segment.name == "head":
        neck, shoulders = HEAD_OVER_NECK[model], HEAD_OVER_SHOULDERS[model]
        return StandIn(_trunk(-neck, "neck"), 0.06), StandIn(_trunk(-shoulders), 0.1)
    if name not in _OF_LIMBS:
        return ()
    return tuple(
        StandIn(
            tuple((n if n.startswith("mid_") or n == "neck" else f"{side}_{n}", share) for n, share in parts),
            spread,
        )
        for parts, spread in ((one.parts, one.spread_m) for one in _OF_LIMBS[name])
    )


def limb_of(segment: Segment) -> str:
    """Segments of one limb lie off their stand-ins together: "left arm", "right leg", "head"."""
    side, _, name = segment.name.partition(" ")
    if not name:
        return side
    return f"{side} {'leg' if name in ('thigh', 'shank', 'foot') else 'arm'}"


def resolved(parts: Parts, names: Collection[str]) -> Parts | None:
    """Parts in points that are there, or None. The middle of both hips (shoulders) needs both; one alone
    stands for it where only one is there.
    """
    found: list[tuple[str, float]] = []
    for name, share in parts:
        if name in names:
            found.append((name, share))
            continue
        if not name.startswith("mid_"):
            return None
        both = [n for side in ("left", "right") if (n := f"{side}_{name.removeprefix('mid_')}") in names]
        if not both:
            return None
        found += [(one, share / len(both)) for one in both]
    return tuple(found)
