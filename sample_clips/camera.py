"""A pinhole camera with one radial lens coefficient, standing beside the lane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sample_clips.body import Array
from sample_clips.scenario import CameraPlan, Picture, Scenario

# A run to the left is filmed from the other side of the lane: the world turned half round the vertical.
_HALF_TURN = np.array([-1.0, 1.0, -1.0])


@dataclass(frozen=True)
class Camera:
    """One frame's camera. Angles in deg; `x`, `height`, `distance` in m; `focal` in px; picture in px.

    Pixels are those of the shown picture, origin at the centre of the top left pixel, v downwards.
    """

    x: float
    height: float
    distance: float
    focal: float
    width: int
    height_px: int
    pan: float = 0.0
    tilt: float = 0.0
    roll: float = 0.0
    k1: float = 0.0
    mirrored: bool = False  # the run goes to the left, the camera stands at negative z

    @property
    def centre(self) -> Array:
        """Principal point (u, v)."""
        return np.array([(self.width - 1) / 2.0, (self.height_px - 1) / 2.0])

    @property
    def lens(self) -> Array:
        """Normalised coordinates to pixels, (3, 3), without the bend."""
        u, v = self.centre
        return np.array([[self.focal, 0.0, u], [0.0, self.focal, v], [0.0, 0.0, 1.0]])

    @property
    def place(self) -> Array:
        """Where the camera stands, in the turned world of a run to the left (see `turned`)."""
        return np.array([-self.x if self.mirrored else self.x, self.height, self.distance])

    @property
    def axes(self) -> Array:
        """Rows right, down, ahead."""
        p, t, r = np.radians([self.pan, self.tilt, self.roll])
        ahead = np.array([np.sin(p), 0.0, -np.cos(p)])
        right = np.array([np.cos(p), 0.0, np.sin(p)])
        up = np.array([0.0, 1.0, 0.0])
        ahead, up = ahead * np.cos(t) + up * np.sin(t), up * np.cos(t) - ahead * np.sin(t)
        right, up = right * np.cos(r) + up * np.sin(r), up * np.cos(r) - right * np.sin(r)
        return np.stack([right, -up, ahead])

    def turned(self, points: Array) -> Array:
        """World points as seen from this side of the lane."""
        return points * _HALF_TURN if self.mirrored else points

    def project(self, points: Array) -> Array:
        """Pixels (..., 2) of world points (..., 3) in m."""
        d = (self.turned(np.asarray(points, float)) - self.place) @ self.axes.T
        plane = d[..., :2] / d[..., 2:]
        return np.asarray(self.centre + self.focal * self.bent(plane))

    def scale(self, points: Array) -> Array:
        """Pixels per metre (...,) at world points (..., 3)."""
        d = (self.turned(np.asarray(points, float)) - self.place) @ self.axes.T
        return np.asarray(self.focal / d[..., 2])

    def bent(self, plane: Array) -> Array:
        """The lens: x (1 + k1 r^2) on normalised coordinates."""
        r2 = np.sum(plane**2, axis=-1, keepdims=True)
        return np.asarray(plane * (1.0 + self.k1 * r2))

    def straight(self, bent: Array) -> Array:
        """Undoes `bent` (fixed point, good to far under a thousandth of a pixel)."""
        plane = bent
        if self.k1:
            for _ in range(12):
                plane = bent / (1.0 + self.k1 * np.sum(plane**2, axis=-1, keepdims=True))
        return plane

    def rays(self, uv: Array) -> Array:
        """Directions (..., 3) in the turned world through pixels (..., 2); their part ahead is 1."""
        plane = self.straight((uv - self.centre) / self.focal)
        full = np.concatenate([plane, np.ones_like(plane[..., :1])], axis=-1)
        return np.asarray(full @ self.axes)


def _shake(rng: np.random.Generator, t: Array, size_deg: float) -> Array:
    """Slow hand movement (n, 3): pan, tilt, roll in deg, a sum of sines of 0.4 to 6 Hz."""
    out = np.zeros((len(t), 3))
    for axis, part in enumerate((1.0, 1.0, 0.6)):
        for f in (0.45, 1.1, 2.3, 3.9, 6.1):
            phase = rng.uniform(0.0, 2.0 * np.pi)
            out[:, axis] += (
                part * size_deg * rng.uniform(0.5, 1.0) / f**0.8 * np.sin(2 * np.pi * f * t + phase)
            )
    return out


def cameras_of(scenario: Scenario, film_s: Array, athlete_x: Array) -> list[Camera]:
    """The camera of each frame. `film_s`, `athlete_x` (n,): film time and where the athlete is, s and m."""
    plan: CameraPlan = scenario.camera
    picture: Picture = scenario.picture
    focal = picture.width * plan.distance_m / plan.span_m
    rng = np.random.default_rng([scenario.seed, 17])
    shake = _shake(rng, film_s, plan.shake_deg)
    sign = -1.0 if scenario.direction == "left" else 1.0
    places_x = plan.centre_x_m + plan.walk_m_s * film_s
    aim = plan.follow * np.degrees(np.arctan2(athlete_x - places_x, plan.distance_m))
    return [
        Camera(
            float(places_x[i]),
            plan.height_m,
            plan.distance_m,
            focal,
            picture.width,
            picture.height,
            sign * (plan.pan_deg + aim[i]) + shake[i, 0],
            plan.tilt_deg + shake[i, 1],
            sign * plan.roll_deg + shake[i, 2],
            plan.k1,
            scenario.direction == "left",
        )
        for i in range(len(film_s))
    ]
