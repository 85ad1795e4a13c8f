"""The angle of a line on a frame."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Number, Source, combine, normal
from analysis.ground.ground import Ground
from analysis.values.estimate import NoValue
from analysis.values.run import Direction
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

CAMERA_ROLL_DEG = 2.0
"""How far an unlevelled camera is rolled, standard uncertainty, deg, where no mark shows it (measures.md)."""


def angle_deg(lower: Floats, upper: Floats) -> float:
    """Angle in deg of the vector from the lower to the upper end, shape (2,), x forwards and y up.

    From the forward horizontal, anticlockwise: 90 is upright, less leans forward, more leans back; in
    (-180, 180] (Winter DA (2009), figure of limb angles).
    """
    return math.degrees(math.atan2(upper[1] - lower[1], upper[0] - lower[0]))


@dataclass(frozen=True, eq=False)
class LineAngle:
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
        self._forward = -1.0 if direction is Direction.LEFT else 1.0
        self._roll: Source = normal(CAMERA_ROLL_DEG)
        self._known: dict[
            tuple[tuple[float, float], tuple[float, float], float, float], LineAngle | NoValue
        ] = {}

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
            self._known[key] = self._read(lower, upper, lower_px, upper_px)
        return self._known[key]

    def in_picture(self, lower: tuple[float, float], upper: tuple[float, float]) -> float:
        """Angle in deg in the picture itself, forwards as everywhere: good for how it changes, not for its
        size.
        """
        return math.degrees(math.atan2(lower[1] - upper[1], self._forward * (upper[0] - lower[0])))

    def _read(
        self, lower: tuple[float, float], upper: tuple[float, float], lower_px: float, upper_px: float
    ) -> LineAngle | NoValue:
        pixels = np.array([lower, upper], dtype=np.float64)
        if not np.all(np.isfinite(pixels)) or math.dist(lower, upper) < 2.0:
            return NoValue(tr("The line is too short for an angle. Draw it longer."))
        places = self._places(pixels)
        span = places[1] - places[0]
        square = float(span @ span)
        across = np.degrees(np.array([-span[1], span[0]]) / square)  # deg per unit of the upper end's move
        if isinstance(self._ground, NoValue):
            per_pixel = np.array([[1.0, 0.0], [0.0, 1.0]])[:, None, :].repeat(2, axis=1)
            parts: dict[Source, float] = {self._roll: 1.0}
        else:
            per_pixel = self._ground.pixel_changes(pixels)
            moves = self._ground.map_changes(pixels)
            turns = across @ (moves[1] - moves[0])
            parts = {s: float(m) for s, m in zip(self._ground.shared.plane, turns, strict=True)}
        ends = [
            error_px * float(np.linalg.norm(per_pixel[:, end] @ across))
            for end, error_px in enumerate((lower_px, upper_px))
        ]
        return LineAngle(angle_deg(places[0], places[1]), parts, math.hypot(*ends))

    def _places(self, pixels: Floats) -> Floats:
        if isinstance(self._ground, NoValue):
            turned: Floats = pixels * np.array([self._forward, -1.0])
            return turned
        return self._ground.metres(pixels)
