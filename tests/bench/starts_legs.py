"""Legs of real starts, labelled by eye: where hip, knee, ankle, heel and toe lie on some frames."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.film import open_film
from analysis.values.film import Film, FrameNumber
from analysis.values.run import BodyPoint, Direction

LABELS = Path(__file__).parent / "data" / "starts_legs.json"
LEG_SHARE = 0.245 + 0.246
"""Thigh and shin as a share of a standing body's height (Winter 2009, figure 4.1)."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Legs:
    """The labels of one film. ``places``: by frame, (5, 2) in px as shown. ``wide``: frames two or three
    apart, ``between``: some of those in between. ``again``: labels of the wide frames made a second time,
    empty where there are none.
    """

    film: Film
    direction: Direction
    joints: tuple[str, ...]
    places: dict[int, Floats]
    wide: tuple[int, ...]
    between: tuple[int, ...]
    again: dict[int, Floats]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the points: those of the leg that the camera sees."""
        return tuple(f"{self.direction.near_side.value}_{joint}" for joint in self.joints)

    @property
    def frames(self) -> tuple[int, ...]:
        """All labelled frames."""
        return tuple(sorted(self.places))

    @cached_property
    def height_px(self) -> float:
        """How tall the athlete would stand upright, px, from the labelled thighs and shins."""
        every = np.array(list(self.places.values()))
        limbs = np.linalg.norm(np.diff(every[:, :3], axis=1), axis=-1)
        return float(limbs.mean(axis=0).sum()) / LEG_SHARE

    def points(self, frame: int, which: Iterable[int] | None = None) -> list[BodyPoint]:
        """The labels of a frame as a coach's points; ``which``: of these columns."""
        columns = range(len(self.joints)) if which is None else which
        uv = self.places[frame]
        return [
            BodyPoint(FrameNumber(frame), self.names[c], float(uv[c, 0]), float(uv[c, 1])) for c in columns
        ]


def read_legs(folder: Path) -> dict[str, Legs]:
    """The labels with their films, which lie in ``folder``."""
    data = json.loads(LABELS.read_text(encoding="utf-8"))
    joints = tuple(data["points"])
    return {name: _of(each, folder / f"{name}.mp4", joints) for name, each in data["films"].items()}


def _of(data: dict[str, Any], path: Path, joints: tuple[str, ...]) -> Legs:
    wide, between, again = (
        {int(f): np.array(uv, np.float64).reshape(-1, 2) for f, uv in data.get(key, {}).items()}
        for key in ("wide", "between", "again")
    )
    direction = Direction(data["direction"])
    return Legs(
        open_film(path), direction, joints, wide | between, tuple(sorted(wide)), tuple(sorted(between)), again
    )
