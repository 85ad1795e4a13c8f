"""A pinhole camera beside a running line, for tests: exact pixels of known places."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Pinhole:
    """``distance_m`` from the line, opposite ``x_m``, ``height_m`` up; turned, tilted and rolled in deg."""

    distance_m: float = 12.0
    x_m: float = 6.0
    height_m: float = 1.2
    turn_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    focal_px: float = 1060.0
    width: int = 1280
    height: int = 720
    leftwards: bool = False

    def pixels(self, places):
        """Pixels (n, 2) of places (n, 2) or (n, 3): along, up, towards the camera, m."""
        places = np.atleast_2d(np.asarray(places, float))
        if places.shape[1] == 2:
            places = np.column_stack([places, np.zeros(len(places))])
        along = -1.0 if self.leftwards else 1.0
        seen = np.column_stack(
            [
                along * (places[:, 0] - self.x_m),
                self.height_m - places[:, 1],
                self.distance_m - places[:, 2],
            ]
        )
        psi, tilt, roll = (math.radians(a) for a in (self.turn_deg, self.tilt_deg, self.roll_deg))
        turn = np.array([[math.cos(psi), 0, -math.sin(psi)], [0, 1, 0], [math.sin(psi), 0, math.cos(psi)]])
        lean = np.array(
            [[1, 0, 0], [0, math.cos(tilt), -math.sin(tilt)], [0, math.sin(tilt), math.cos(tilt)]]
        )
        spin = np.array(
            [[math.cos(roll), -math.sin(roll), 0], [math.sin(roll), math.cos(roll), 0], [0, 0, 1]]
        )
        x, y, z = spin @ lean @ turn @ seen.T
        centre = (self.width - 1) / 2, (self.height - 1) / 2
        return np.column_stack([centre[0] + self.focal_px * x / z, centre[1] + self.focal_px * y / z])
