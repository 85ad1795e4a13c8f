"""What the errors of body points are made of, apart from the points themselves."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from analysis.ground.carried import Source, normal

ANATOMY_M: Mapping[str, float] = {"hip": 0.02, "shoulder": 0.02}
"""Where a point lies under skin and clothes, standard uncertainty along each axis, constant over a film,
m.
"""
ANATOMY_ELSE_M = 0.01


@dataclass(frozen=True, eq=False)
class BodyErrors:
    """The errors of a film's body points: ``sources``, those that places share, and one for where each point
    lies under the skin. ``in_metres``: False where places are pixels.
    """

    sources: tuple[Source, ...]
    in_metres: bool
    _anatomy: dict[str, tuple[Source, Source]] = field(default_factory=dict)
    _joint_anatomy: dict[tuple[tuple[str, float], ...], tuple[Source, Source]] = field(default_factory=dict)

    def shared_parts(self, moves: Sequence[float]) -> dict[Source, float]:
        """Sensitivities to the shared sources that mean these moves, per standard uncertainty; of plain
        numbers, since sums of numpy's take three times as long.
        """
        known = zip(self.sources, moves, self._spread, strict=True)
        return {source: move / spread for source, move, spread in known if move}

    @cached_property
    def _spread(self) -> list[float]:
        return [source.u or math.inf for source in self.sources]

    def anatomy(self, name: str) -> tuple[Source, Source]:
        """The constant error of where a point lies under the skin, along each axis."""
        if name not in self._anatomy:
            u = ANATOMY_M.get(name.split("_", 1)[-1], ANATOMY_ELSE_M)
            self._anatomy[name] = (normal(u), normal(u))
        return self._anatomy[name]

    def anatomy_of(self, weights: Mapping[str, float]) -> tuple[tuple[Source, Source], float]:
        """The constant error of where points of a weighted sum lie under the skin, as one error along each
        axis, and its share: of one point that is its own.
        """
        key = tuple(weights.items())
        if len(key) == 1:
            return self.anatomy(key[0][0]), key[0][1]
        if key not in self._joint_anatomy:
            parts = [weight * self.anatomy(name)[0].u for name, weight in key]
            self._joint_anatomy[key] = (normal(math.hypot(*parts)), normal(math.hypot(*parts)))
        return self._joint_anatomy[key], 1.0
