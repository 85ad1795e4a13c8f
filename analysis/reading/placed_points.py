"""A run's placed points, sorted once for every stage that asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from analysis.ground.point_rows import PointRows, rows_of
from analysis.ground.points import PointsByName, by_name
from analysis.reading.stages import stage
from analysis.values.run import BodyPoint


@dataclass(frozen=True, eq=False)
class PlacedPoints:
    """``named``: by name, frames rising; ``rows``: the same as arrays, those on the film's frames."""

    named: PointsByName
    rows: Mapping[str, PointRows]


@stage
def placed_points(points: tuple[BodyPoint, ...], frames: int) -> PlacedPoints:
    """Points without those that have no proper place or error. ``frames``: of the film."""
    named = by_name(points)
    return PlacedPoints(named, rows_of(named, frames))
