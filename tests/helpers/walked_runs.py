"""Films of a runner before a wall and over ground, from a camera that is carried along while it turns.

The figure of ``capsule_runs`` on the running line of the world of ``tests/bench/walked_films``, which has
depth: what is near and what is far part company as the camera goes.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sample_clips.camera import Camera
from tests.bench.walked_films import SIZE, World
from tests.helpers.capsule_runs import CapsuleFilm, CapsuleRun, drawn_run


def walked_run(seed: int, fps: float, seconds: float | None = None) -> CapsuleRun:
    """A small run of that figure."""
    run = drawn_run(seed, fps, pan=True, small=True, seconds=seconds)
    return replace(run, roll=0.0, people=0)


class WalkedFilm(CapsuleFilm):
    """Draws the frames of a run. ``walk_m_s``: how fast the camera is carried along the line; ``follow``: how
    far it turns after the runner, 1 keeps him in the middle; ``grass``: whether the ground shows something
    everywhere.
    """

    def __init__(self, run: CapsuleRun, walk_m_s: float, follow: float = 0.9, *, grass: bool = True) -> None:
        super().__init__(run)
        rng = np.random.default_rng([run.seed, 91])
        self._world = World(rng, grass=grass)
        self._tint = rng.uniform(0.6, 1.1, 3)
        self._distance_m, self._begin_m = float(rng.uniform(9.0, 13.0)), float(rng.uniform(1.0, 3.0))
        self._walk_m_s, self._follow = walk_m_s, follow

    def camera(self, t: float) -> Camera:
        """At a time; it looks at the line as large as the run is drawn."""
        scale = self.run.scale
        x, height = self._begin_m + self._walk_m_s * t, (self.run.ground_v - SIZE[1] / 2) / scale
        pan = np.degrees(np.arctan2(self._follow * (self.hip(t) - x), self._distance_m))
        return Camera(x, height, self._distance_m, scale * self._distance_m, *SIZE, pan=float(pan))

    def pixel(self, xy, t):
        """Pixels of the shown picture of a place in m at a time."""
        u, v = self.camera(t).project(np.array([xy[0], xy[1], 0.0]))
        return np.array([SIZE[0] - 1 - u if self.run.direction == "left" else u, v])

    def frame(self, i):
        """Frame i as (height, width, 3) uint8, blue first."""
        t = i / self.run.fps
        grey = self._world.seen_by(self.camera(t))
        if self.run.direction == "left":
            grey = grey[:, ::-1]
        picture = (grey[:, :, None] * self._tint * self.run.light).astype(np.float32)
        self._draw(picture, t)
        noise = np.random.default_rng([self.run.seed, 5, i]).normal(0, self.run.noise, picture.shape)
        return np.clip(picture + noise + 0.5, 0, 255).astype(np.uint8)
