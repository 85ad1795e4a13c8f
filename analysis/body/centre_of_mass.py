"""The centre of mass of a whole or partial body, as shares of its points."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from analysis.body.mass_models import MassModel, Segment, segments_of
from analysis.values.estimate import NoValue
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

LEAST_MASS = 0.6
"""Share of the body's mass that the placed segments must hold (own assumption)."""
SPREAD_M = 0.30
"""How far the centre of what is missing may lie from the centre of the rest along each axis, standard
uncertainty, m (own assumption: a bent leg's centre lies some 0.4 m from the body's, a swinging arm's 0.3)."""


@dataclass(frozen=True)
class CentreOfMass:
    """The centre of mass as a weighted sum of body points.

    ``weights``: point name to share; they sum to 1. ``mass``: share of the body's mass that is there.
    ``missing``: names of the segments that are left out. ``u_m``: standard uncertainty along each axis from
    what is left out, m; it holds for the whole film alike. The points' own errors come on top, times the
    weights.
    """

    weights: Mapping[str, float]
    mass: float
    missing: tuple[str, ...]
    u_m: float

    @property
    def partial(self) -> bool:
        """True where a segment is missing."""
        return bool(self.missing)

    def of(self, points: Mapping[str, Floats]) -> Floats:
        """The centre of points in m, each (..., 2) or (..., 3); the result has their shape."""
        first, *rest = ((points[name], weight) for name, weight in self.weights.items())
        total = first[0] * first[1]
        for place, weight in rest:
            total = total + place * weight
        return np.asarray(total, np.float64)


def weighted(segments: Iterable[Segment], names: Collection[str]) -> CentreOfMass | NoValue:
    """The centre of mass of the segments whose points are all among ``names``.

    A missing segment is left out and its mass shared out among the others in proportion; the uncertainty
    rises by its share of the mass times ``SPREAD_M``. The middle of both hips (shoulders) needs both; one hip
    (shoulder) alone stands for it where only one is there. The masses of the segments are divided by their
    sum (those of de Leva's women make 99.99 %). Under ``LEAST_MASS`` there is no value.
    """
    weights: dict[str, float] = {}
    mass = total = 0.0
    missing: list[str] = []
    squared = 0.0
    for segment in segments:
        total += segment.mass
        parts = _resolved(segment, names)
        if parts is None:
            missing.append(segment.name)
            squared += segment.mass**2
            continue
        mass += segment.mass
        for name, share in parts:
            weights[name] = weights.get(name, 0.0) + segment.mass * share
    if total <= 0 or mass / total < LEAST_MASS:
        return NoValue(
            tr(
                "Too few body points for the centre of mass: {share} % of the body is placed, {least} % is "
                "needed. Place the trunk and the legs first."
            ).format(share=round(100 * mass / total) if total else 0, least=round(100 * LEAST_MASS))
        )
    scaled = {name: weight / mass for name, weight in weights.items()}
    left_out = SPREAD_M * math.sqrt(squared) / total
    return CentreOfMass(scaled, mass / total, tuple(missing), left_out)


def centre_of_mass(model: MassModel, names: Collection[str]) -> CentreOfMass | NoValue:
    """The centre of mass of a body of which these of the 19 points are placed.

    The trunk runs from the middle of the shoulders, with de Leva from the neck where no shoulder is placed.
    """
    return _of(model, tuple(names))


@lru_cache(maxsize=64)
def _of(model: MassModel, names: tuple[str, ...]) -> CentreOfMass | NoValue:
    """The same; a run has few kinds of bodies on many frames."""
    shoulder = any(f"{side}_shoulder" in names for side in ("left", "right"))
    return weighted(segments_of(model, by_neck=not shoulder and "neck" in names), names)


def _resolved(segment: Segment, names: Collection[str]) -> list[tuple[str, float]] | None:
    """The segment's parts in points that are there, or None."""
    found: list[tuple[str, float]] = []
    for name, share in segment.parts:
        if name in names:
            found.append((name, share))
            continue
        if not name.startswith("mid_"):
            return None
        both = [n for side in ("left", "right") if (n := f"{side}_{name.removeprefix('mid_')}") in names]
        if not both:
            return None
        found += [(one, share / len(both)) for one in both]
    return found
