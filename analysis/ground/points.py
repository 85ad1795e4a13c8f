"""A run's points, sorted by name once, so that every stage finds its own without looking at all of them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias

from analysis.values.run import BodyPoint

PointsByName: TypeAlias = Mapping[str, Sequence[BodyPoint]]
"""Points of each name, frames rising."""


def by_name(points: Iterable[BodyPoint]) -> dict[str, list[BodyPoint]]:
    """Points under their names, frames rising; without those that have no proper place or error in pixels."""
    found: dict[str, list[BodyPoint]] = {}
    for point in points:
        if math.isfinite(point.u + point.v + point.error_px) and point.error_px > 0:
            found.setdefault(point.name, []).append(point)
    for named in found.values():
        named.sort(key=_frame)
    return found


def _frame(point: BodyPoint) -> int:
    return point.frame
