"""Frames of a run: hall, shadow, athlete with motion blur, lens softness, sensor noise."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Array
from sample_clips.camera import Camera, cameras_of
from sample_clips.figure import draw_athlete, look_at
from sample_clips.motion import Motion, Pose
from sample_clips.scenario import Scenario, Side
from sample_clips.scene import Backdrop
from sample_clips.shading import Canvas
from sample_clips.shadow import shadow_of

FINE = 2
NOISE_FIELDS = 6


class Film:
    """Draws the frames of a scenario. `times_s` is film time, `run_s` time after the first movement."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.motion = Motion(scenario)

    @cached_property
    def times_s(self) -> Array:
        """Times of the frames in s, the first one 0."""
        return np.arange(self.scenario.picture.frames) / self.scenario.picture.fps

    @cached_property
    def run_s(self) -> Array:
        return self.times_s - self.scenario.rest_s

    @cached_property
    def pose(self) -> Pose:
        """The pose in the middle of each frame's exposure: the truth."""
        return self.motion.at(self.run_s)

    @cached_property
    def cameras(self) -> list[Camera]:
        return cameras_of(self.scenario, self.times_s, self.pose.points["mid_hip"][:, 0])

    @property
    def near_side(self) -> Side:
        """The side of the athlete towards the camera."""
        return self.scenario.direction

    @cached_property
    def _exposures(self) -> list[Pose]:
        n = self.scenario.picture.exposures
        steps = ((np.arange(n) + 0.5) / n - 0.5) * self.scenario.picture.shutter_s
        return [self.motion.at(self.run_s + step) for step in steps]

    @cached_property
    def _backdrop(self) -> Backdrop:
        return Backdrop(self.cameras, self.scenario.seed, self.scenario.picture.light)

    @cached_property
    def _noise(self) -> list[NDArray[np.float32]]:
        p = self.scenario.picture
        rng = np.random.default_rng([self.scenario.seed, 5])
        shape = (p.height + 64, p.width + 64)
        fields = []
        for _ in range(NOISE_FIELDS):
            grey = rng.standard_normal(shape, np.float32)
            # Sensors smooth a little between neighbours.
            grey = 1.25 * cv2.GaussianBlur(grey, (0, 0), 0.55)
            fields.append(np.asarray(grey * (p.noise / 255.0), np.float32))
        return fields

    def empty(self, i: int) -> NDArray[np.float32]:
        """The hall without the athlete in frame i."""
        return self._backdrop.frame(i)

    def frame(self, i: int) -> NDArray[np.uint8]:
        """Frame i as (height, width, 3), red first."""
        picture = self.empty(i).copy()
        camera = self.cameras[i]
        shadow = shadow_of(camera, {n: p[i] for n, p in self.pose.points.items()})
        if shadow is not None:
            where, amount = shadow
            picture[where] *= (1.0 - amount)[..., None] * np.array([1.0, 1.0, 1.03], np.float32)
        self._athlete(picture, camera, i)
        picture = cv2.GaussianBlur(picture, (0, 0), 0.55)
        rng = np.random.default_rng([self.scenario.seed, 7, i])
        field = self._noise[int(rng.integers(NOISE_FIELDS))]
        dy, dx = (int(a) for a in rng.integers(0, 64, 2))
        picture += field[dy : dy + picture.shape[0], dx : dx + picture.shape[1], None]
        return np.asarray(np.clip(picture * 255.0 + 0.5, 0, 255), np.uint8)

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """All frames in order."""
        for i in range(self.scenario.picture.frames):
            yield self.frame(i)

    def _athlete(self, picture: NDArray[np.float32], camera: Camera, i: int) -> None:
        athlete = self.scenario.athlete
        facing = -1.0 if self.scenario.direction == "left" else 1.0
        looks = [
            look_at(camera, {n: p[i] for n, p in e.points.items()}, athlete.stature_m, facing)
            for e in self._exposures
        ]
        all_uv = np.concatenate([np.stack(list(look.uv.values())) for look in looks])
        margin = 0.24 * looks[0].scale["mid_hip"]
        low = np.maximum(np.floor(all_uv.min(0) - margin).astype(int), 0)
        high = np.minimum(np.ceil(all_uv.max(0) + margin).astype(int) + 1, [camera.width, camera.height_px])
        if np.any(high - low < 2):
            return
        w, h = (int(a) for a in high - low)
        colour, cover = np.zeros((h, w, 3), np.float32), np.zeros((h, w), np.float32)
        light = self.scenario.picture.light
        for look in looks:
            canvas = Canvas.blank(low.astype(float), w, h, FINE)
            draw_athlete(canvas, look, athlete, self.near_side)
            colour += cv2.resize(canvas.colour, (w, h), interpolation=cv2.INTER_AREA) * (light / len(looks))
            cover += cv2.resize(canvas.cover, (w, h), interpolation=cv2.INTER_AREA) / len(looks)
        part = picture[low[1] : high[1], low[0] : high[0]]
        part *= (1.0 - cover)[..., None]
        part += colour
