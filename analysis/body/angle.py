"""The angle of a line on a frame."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Number, Source, combine, normal
from analysis.ground.ground import Ground
from analysis.values.estimate import NoValue
from analysis.values.run import Direction
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]
Drawn: TypeAlias = tuple[tuple[float, float], tuple[float, float], float, float]
"""A line: its lower and upper end in pixels, and the standard uncertainty of either."""

CAMERA_ROLL_DEG = 2.0
"""How far an unlevelled camera is rolled, standard uncertainty, deg, where no mark shows it (measures.md)."""


def angle_deg(lower: Floats, upper: Floats) -> float:
    """Angle in deg of the vector from the lower to the upper end, shape (2,), x forwards and y up.

    From the forward horizontal, anticlockwise: 90 is upright, less leans forward, more leans back; in
    (-180, 180] (Winter DA (2009), figure of limb angles).
    """
    return math.degrees(math.atan2(upper[1] - lower[1], upper[0] - lower[0]))


class LineAngle(NamedTuple):
    """Angle of a line in deg: ``value``, its sensitivities to errors that lines of a film ``shared``, and the
    standard uncertainty ``own_u`` that its own two ends leave.
    """

    value: float
    shared: dict[Source, float]
    own_u: float

    def carried(self) -> Carried:
        """The angle with all its errors."""
        return combine(self.value, {**self.shared, normal(self.own_u): 1.0})


class AngleReader:
    """Reads the angles of one film: in metres after calibration, else in pixels with the camera's roll
    unknown.
    """

    def __init__(self, ground: Ground | NoValue, direction: Direction) -> None:
        self._ground = ground
        self._forward = direction.forwards
        self._roll: Source = normal(CAMERA_ROLL_DEG)
        self._known: dict[Drawn, LineAngle | NoValue] = {}

    def read(
        self, lower: tuple[float, float], upper: tuple[float, float], lower_px: float, upper_px: float
    ) -> Number:
        """Angle in deg of the line from ``lower`` to ``upper``, pixels; ``..._px``: their standard
        uncertainties.

        The ends' errors over the line's length, and the map's error or the roll, which all angles of the film
        share.
        """
        found = self.parts(lower, upper, lower_px, upper_px)
        return found if isinstance(found, NoValue) else found.carried()

    def parts(
        self, lower: tuple[float, float], upper: tuple[float, float], lower_px: float, upper_px: float
    ) -> LineAngle | NoValue:
        """The same with the ends' errors kept apart from those that lines share."""
        key = (lower, upper, lower_px, upper_px)
        if key not in self._known:
            self.learn([key])
        return self._known[key]

    def learn(self, lines: Iterable[Drawn]) -> None:
        """Read many lines at once, so that each is known when it is asked for."""
        new = [line for line in dict.fromkeys(lines) if line not in self._known]
        long = [line for line in new if math.isfinite(sum(line[0]) + sum(line[1])) and _length(line) >= 2.0]
        self._known.update(
            dict.fromkeys(new, NoValue(tr("The line is too short for an angle. Draw it longer.")))
        )
        if long:
            self._known.update(zip(long, self._read(long), strict=True))

    def in_picture(self, lower: tuple[float, float], upper: tuple[float, float]) -> float:
        """Angle in deg in the picture itself, forwards as everywhere: good for how it changes, not for its
        size.
        """
        return math.degrees(math.atan2(lower[1] - upper[1], self._forward * (upper[0] - lower[0])))

    def _read(self, lines: Sequence[Drawn]) -> list[LineAngle]:
        lower, upper = (np.array([line[end] for line in lines], dtype=np.float64) for end in (0, 1))
        pixels = np.concatenate([lower, upper])
        below, above = np.split(self._places(pixels), 2)
        span = above - below
        square = (span**2).sum(axis=1)
        # deg per unit of the upper end's move
        across = np.degrees(np.stack([-span[:, 1], span[:, 0]], axis=1) / square[:, None])
        if isinstance(self._ground, NoValue):
            per_pixel = np.broadcast_to(np.eye(2)[:, None], (2, len(pixels), 2))
            shared: list[dict[Source, float]] = [{self._roll: 1.0} for _ in lines]
        else:
            per_pixel = self._ground.pixel_changes(pixels)
            moves = self._ground.map_changes(pixels)
            turns = np.einsum("ni,nik->nk", across, moves[len(lines) :] - moves[: len(lines)])
            shared = [dict(zip(self._ground.shared.plane, row, strict=True)) for row in turns.tolist()]
        error = np.array([line[2:] for line in lines], dtype=np.float64)
        turned = np.einsum("wni,ni->wn", per_pixel, np.concatenate([across, across]))
        ends = error.T * np.linalg.norm(turned, axis=0).reshape(2, -1)
        own = np.hypot(*ends)
        return [
            LineAngle(angle_deg(one, other), parts, float(u))
            for one, other, parts, u in zip(below, above, shared, own, strict=True)
        ]

    def _places(self, pixels: Floats) -> Floats:
        if isinstance(self._ground, NoValue):
            turned: Floats = pixels * np.array([self._forward, -1.0])
            return turned
        return self._ground.metres(pixels)


def _length(line: Drawn) -> float:
    return math.dist(line[0], line[1])
