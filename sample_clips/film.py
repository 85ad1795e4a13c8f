"""Frames of a run: hall, shadow, athlete with motion blur, lens softness, sensor noise."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from functools import cached_property
from multiprocessing import get_context

import cv2
import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Array
from sample_clips.camera import Camera, cameras_of
from sample_clips.figure import Look, draw_athlete, look_at
from sample_clips.motion import Motion, Pose
from sample_clips.scenario import Scenario, Side
from sample_clips.scene import Backdrop
from sample_clips.shading import Canvas
from sample_clips.shadow import shadow_of

FINE = 2  # samples a pixel, each way, on the athlete
NOISE_FIELDS = 5
NOISE_PLAY = 64  # px by which a noise field is shifted at most
SOFTNESS_PX = 0.55
STILL_PX = 0.5  # a body that moves less than this within an exposure is drawn once
AHEAD = 6  # frames that the second process works ahead

Picture32 = NDArray[np.float32]


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
    def _noise(self) -> list[Picture32]:
        p = self.scenario.picture
        rng = np.random.default_rng([self.scenario.seed, 5])
        shape = (p.height + NOISE_PLAY, p.width + NOISE_PLAY)
        fields = []
        for _ in range(NOISE_FIELDS):
            # Sensors smooth a little between neighbours.
            grey = 1.25 * cv2.GaussianBlur(rng.standard_normal(shape, np.float32), (0, 0), 0.55)
            fields.append(np.repeat(np.asarray(grey * p.noise, np.float32)[..., None], 3, axis=2))
        return fields

    def frame(self, i: int) -> NDArray[np.uint8]:
        """Frame i as (height, width, 3), red first."""
        picture = self._backdrop.frame(i).copy()
        camera = self.cameras[i]
        shadow = shadow_of(camera, {n: p[i] for n, p in self.pose.points.items()})
        if shadow is not None:
            where, amount = shadow
            picture[where] *= (1.0 - amount)[..., None]
        self._athlete(picture, camera, i)
        rng = np.random.default_rng([self.scenario.seed, 7, i])
        field = self._noise[int(rng.integers(NOISE_FIELDS))]
        dy, dx = (int(a) for a in rng.integers(0, NOISE_PLAY, 2))
        h, w = picture.shape[:2]
        picture = np.asarray(cv2.scaleAdd(picture, 255.0, field[dy : dy + h, dx : dx + w]), np.float32)
        return np.asarray(np.clip(picture + 0.5, 0.0, 255.0), np.uint8)

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """All frames in order; a second process draws every other one."""
        count = self.scenario.picture.frames
        with ProcessPoolExecutor(1, get_context("spawn"), _begin, (self.scenario,)) as pool:
            waiting: deque[Future[NDArray[np.uint8]]] = deque()
            asked = 1
            for i in range(count):
                while asked < count and asked <= i + 2 * AHEAD:
                    waiting.append(pool.submit(_drawn, asked))
                    asked += 2
                yield waiting.popleft().result() if i % 2 else self.frame(i)

    def _looks(self, camera: Camera, i: int) -> list[Look]:
        athlete = self.scenario.athlete
        facing = -1.0 if self.scenario.direction == "left" else 1.0
        looks = [
            look_at(camera, {n: p[i] for n, p in e.points.items()}, athlete.stature_m, facing)
            for e in self._exposures
        ]
        first, last = (np.stack(list(look.uv.values())) for look in (looks[0], looks[-1]))
        still = float(np.abs(first - last).max()) < STILL_PX
        return looks[len(looks) // 2 :][:1] if still else looks

    def _athlete(self, picture: Picture32, camera: Camera, i: int) -> None:
        looks = self._looks(camera, i)
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
            draw_athlete(canvas, look, self.scenario.athlete, self.near_side)
            colour += cv2.resize(canvas.colour, (w, h), interpolation=cv2.INTER_AREA) * (light / len(looks))
            cover += cv2.resize(canvas.cover, (w, h), interpolation=cv2.INTER_AREA) / len(looks)
        # The lens is as soft on the athlete as it is on the hall.
        colour = np.asarray(cv2.GaussianBlur(colour, (0, 0), SOFTNESS_PX), np.float32)
        cover = np.asarray(cv2.GaussianBlur(cover, (0, 0), SOFTNESS_PX), np.float32)
        part = picture[low[1] : high[1], low[0] : high[0]]
        part *= (1.0 - cover)[..., None]
        part += colour


_other: list[Film] = []  # the second process' own film


def _begin(scenario: Scenario) -> None:
    cv2.setNumThreads(1)
    _other.append(Film(scenario))


def _drawn(i: int) -> NDArray[np.uint8]:
    return _other[0].frame(i)
