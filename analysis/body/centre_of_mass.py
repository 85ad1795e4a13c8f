"""The centre of mass of a whole or partial body, as shares of its points."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from analysis.body.mass_models import MassModel, Segment, segments_of
from analysis.body.stand_ins import Parts, limb_of, resolved, stand_ins
from analysis.values.estimate import NoValue
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

LEAST_MASS = 0.6
"""Share of the body's mass that the placed segments must hold (own assumption)."""


@dataclass(frozen=True)
class CentreOfMass:
    """The centre of mass as a weighted sum of body points.

    ``weights``: point name to share; they sum to 1. ``mass``: share of the body's mass that is there.
    ``missing``: names of the segments whose own points are not there. ``u_m``: standard uncertainty along
    each axis from where these lie, m; it holds for the whole film alike. The points' own errors come on top,
    times the weights.
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


def weighted(
    segments: Iterable[Segment], names: Collection[str], model: MassModel | None = None
) -> CentreOfMass | NoValue:
    """The centre of mass of the segments whose points are all among ``names``.

    A missing segment's mass goes to the joints beside it that are there (``stand_ins``), and the uncertainty
    rises by its share of the mass times how far its centre may lie from them; segments of one limb lie off
    together. Without a ``model`` it is left out. The middle of both hips (shoulders) needs both; one hip
    (shoulder) alone stands for it where only one is there. The masses of the segments are divided by their
    sum (those of de Leva's women make 99.99 %). Under ``LEAST_MASS`` there is no value.
    """
    every = list(segments)
    total = math.fsum(segment.mass for segment in every)
    own = {segment.name: parts for segment in every if (parts := resolved(segment.parts, names)) is not None}
    mass = math.fsum(segment.mass for segment in every if segment.name in own)
    if total <= 0 or mass / total < LEAST_MASS:
        return NoValue(
            tr(
                "Too few body points for the centre of mass: {share} % of the body is placed, {least} % is "
                "needed. Place the trunk and the legs first."
            ).format(share=round(100 * mass / total) if total else 0, least=round(100 * LEAST_MASS))
        )
    weights: dict[str, float] = {}
    counted, off = 0.0, dict[str, float]()
    for segment in every:
        parts = own.get(segment.name)
        if parts is None and model is not None:
            parts, spread_m = _stood_for(model, segment, names)
            off[limb_of(segment)] = off.get(limb_of(segment), 0.0) + segment.mass * spread_m
        if parts is not None:
            counted += segment.mass
            for name, share in parts:
                weights[name] = weights.get(name, 0.0) + segment.mass * share
    missing = tuple(segment.name for segment in every if segment.name not in own)
    scaled = {name: weight / counted for name, weight in weights.items()}
    return CentreOfMass(scaled, mass / total, missing, math.hypot(*off.values()) / total)


def _stood_for(model: MassModel, segment: Segment, names: Collection[str]) -> tuple[Parts, float]:
    """The best stand-in that the points allow, and its spread, m."""
    for one in stand_ins(model, segment):
        parts = resolved(one.parts, names)
        if parts is not None:
            return parts, one.spread_m
    raise AssertionError(f"{segment.name}: no body without a trunk has a centre of mass")


def centre_of_mass(model: MassModel, names: Collection[str]) -> CentreOfMass | NoValue:
    """The centre of mass of a body of which these of the 19 points are placed.

    The trunk runs from the middle of the shoulders, with de Leva from the neck where no shoulder is placed.
    """
    return _of(model, tuple(names))


@lru_cache(maxsize=64)
def _of(model: MassModel, names: tuple[str, ...]) -> CentreOfMass | NoValue:
    """The same; a run has few kinds of bodies on many frames."""
    shoulder = any(f"{side}_shoulder" in names for side in ("left", "right"))
    return weighted(segments_of(model, by_neck=not shoulder and "neck" in names), names, model)
