"""A run's points, sorted by name once, so that every stage finds its own without looking at all of them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter
from typing import TypeAlias

from analysis.values.run import BodyPoint

PointsByName: TypeAlias = Mapping[str, Sequence[BodyPoint]]
"""Points of each name, frames rising."""
_FRAME = attrgetter("frame")


def by_name(points: Iterable[BodyPoint]) -> dict[str, list[BodyPoint]]:
    """Points under their names, frames rising; without those that have no proper place or error in pixels."""
    found: dict[str, list[BodyPoint]] = defaultdict(list)
    isfinite = math.isfinite
    for point in points:
        if isfinite(point.u + point.v + point.error_px) and point.error_px > 0:
            found[point.name].append(point)
    for named in found.values():
        named.sort(key=_FRAME)
    return dict(found)
