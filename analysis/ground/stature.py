"""The athlete's stature as a rough scale, where no marks stand."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from analysis.ground.points import by_name
from analysis.values.run import BodyPoint, GroundMark

STATURE_SHARE_U = 0.03
"""How well a standing athlete's picture shows the stature, as a share of it: shoes, posture and the place
within the picture (own assumption)."""
UPRIGHT = 0.15
"""Head above heel within this share aside counts as standing upright: about 9 degrees (own assumption)."""
STRAIGHT_KNEE_DEG = 165.0
"""Where hip, knee and ankle are placed, the knee is to be this straight (own assumption)."""


@dataclass(frozen=True)
class Standing:
    """The two places of a standing athlete as marks: sole at 0 m, top of the head at the stature."""

    frame: int
    marks: tuple[GroundMark, GroundMark]


def standing(points: Iterable[BodyPoint], stature_m: float | None) -> Standing | None:
    """The frame on which the athlete stands longest and upright, head and a heel placed; None without one.

    The set position and the run don't serve: there the head is not above the heel, or the knee is bent.
    """
    if stature_m is None or not (math.isfinite(stature_m) and stature_m > 0):
        return None
    named = by_name(points)
    heads = {p.frame: p for p in named.get("head", ())}
    best: tuple[float, BodyPoint, BodyPoint] | None = None
    for side in ("left", "right"):
        joints = [{p.frame: p for p in named.get(f"{side}_{n}", ())} for n in ("hip", "knee", "ankle")]
        for heel in named.get(f"{side}_heel", ()):
            head = heads.get(heel.frame)
            if head is None:
                continue
            tall = heel.v - head.v
            upright = tall > 0 and abs(heel.u - head.u) < UPRIGHT * tall
            leg = [joint.get(heel.frame) for joint in joints]
            if upright and _straight(leg) and (best is None or tall > best[0]):
                best = (tall, head, heel)
    if best is None:
        return None
    _, head, heel = best
    return Standing(
        int(heel.frame),
        (
            GroundMark("sole", 0.0, 0.0, heel.frame, heel.u, heel.v, heel.error_px),
            GroundMark("head", 0.0, stature_m, head.frame, head.u, head.v, head.error_px),
        ),
    )


def _straight(leg: list[BodyPoint | None]) -> bool:
    hip, knee, ankle = leg
    if hip is None or knee is None or ankle is None:
        return True
    up = math.atan2(hip.v - knee.v, hip.u - knee.u)
    down = math.atan2(ankle.v - knee.v, ankle.u - knee.u)
    bend = abs(math.degrees(up - down)) % 360.0
    return min(bend, 360.0 - bend) > STRAIGHT_KNEE_DEG
