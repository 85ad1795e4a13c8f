"""Films of a bare world of two planes, a wall and the ground, from cameras that turn, sway or are carried.

Drawn by warping two pictures, so that a film costs little. Camera and projection are those of the sample
clips' renderer; nothing is shared with what follows the background.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
import numpy.typing as npt

from analysis.film import open_film
from analysis.values.film import Film
from sample_clips.camera import Camera, _shake
from sample_clips.encode import write_film

Grey = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.float64]

SIZE = (640, 360)
RATE_HZ = 20.0
WALL_M, PX_PER_M = -6.0, 60.0
FROM_M, TO_M, HIGH_M, NEAR_M = -14.0, 26.0, 8.0, 9.0
CRF = 20
GRAIN = 1.5
"""Noise of the sensor, grey levels."""


@dataclass(frozen=True)
class Shot:
    """How a film was taken. ``walk_m_s``: along the line; ``follow``: how far the camera turns after the
    athlete, 1 keeps him in the middle; ``sweep_deg``: how far it turns evenly besides; ``arm_m``: how far the
    camera is from the axis about which a body turns with it; ``grass``: whether the ground shows something
    everywhere, else lines and a mark each metre.
    """

    seed: int
    walk_m_s: float = 0.0
    follow: float = 0.0
    arm_m: float = 0.0
    grass: bool = True
    seconds: float = 2.0
    shake_deg: float = 0.1
    sweep_deg: float = 0.0


def cameras(shot: Shot) -> list[Camera]:
    """The camera of every frame; the athlete runs from rest, 8.5 m/s at most."""
    rng = np.random.default_rng([shot.seed, 3])
    t = np.arange(round(shot.seconds * RATE_HZ)) / RATE_HZ
    athlete = 8.5 * (t + 0.6 - 1.1 * -np.expm1(-(t + 0.6) / 1.1))
    distance, begin = rng.uniform(9.0, 14.0), rng.uniform(1.5, 4.0)
    span = rng.uniform(6.5, 10.0)
    shake = _shake(rng, t, shot.shake_deg)
    x = begin + shot.walk_m_s * t
    pan = np.degrees(np.arctan2(shot.follow * (athlete - x), distance))
    pan += shot.sweep_deg * (t / t[-1] - 0.5)
    first = Camera(0.0, rng.uniform(1.1, 1.6), 0.0, SIZE[0] * distance / span, *SIZE)
    turned = np.radians(pan)
    return [
        replace(
            first,
            x=float(x[i] + shot.arm_m * np.sin(turned[i])),
            distance=float(distance - shot.arm_m * np.cos(turned[i])),
            pan=float(pan[i] + shake[i, 0]),
            tilt=float(shake[i, 1]),
            roll=float(shake[i, 2]),
        )
        for i in range(len(t))
    ]


def film_of(shot: Shot, folder: Path) -> Film:
    """The film, written into a folder."""
    path = folder / "film.mp4"
    write_film(path, (np.repeat(grey[:, :, None], 3, axis=2) for grey in pictures(shot)), *SIZE, RATE_HZ, CRF)
    return open_film(path)


def pictures(shot: Shot) -> Iterator[Grey]:
    """Each frame in grey, as the sensor gives it."""
    rng = np.random.default_rng([shot.seed, 4])
    world = World(rng, grass=shot.grass)
    for camera in cameras(shot):
        picture = world.seen_by(camera)
        yield np.clip(picture + rng.normal(0, GRAIN, picture.shape), 0, 255).astype(np.uint8)


class World:
    """The wall and the ground before it; ``grass``: as ``Shot`` has it."""

    def __init__(self, rng: np.random.Generator, *, grass: bool) -> None:
        self._wall, self._ground = _wall(rng), _ground(rng, grass=grass)

    def seen_by(self, camera: Camera) -> Floats:
        """Grey levels, (height, width)."""
        wall, ground = (FROM_M, TO_M, HIGH_M, 0.0), (FROM_M, TO_M, WALL_M, WALL_M + NEAR_M)
        picture = _drawn(self._wall, camera, lambda a, b: (a, b, WALL_M), wall)
        below = _drawn(self._ground, camera, lambda a, b: (a, 0.0, b), ground)
        foot = camera.project(np.array([(FROM_M, 0.0, WALL_M), (TO_M, 0.0, WALL_M)]))
        u = np.arange(SIZE[0])
        edge = foot[0, 1] + (u - foot[0, 0]) * (foot[1, 1] - foot[0, 1]) / (foot[1, 0] - foot[0, 0])
        picture = np.where(np.arange(SIZE[1])[:, None] > edge, below, picture)
        return np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.7), np.float64)


def _drawn(texture, camera, place, ends) -> Floats:  # type: ignore[no-untyped-def]
    """A plane as the camera sees it. ``place``: a world point by the plane's own two coordinates."""
    left, right, top, bottom = ends
    height, width = texture.shape
    # Four places in front of the camera, and where the texture holds them.
    a = camera.x + np.array([-3.0, 3.0, 3.0, -3.0])
    b = top + (bottom - top) * np.array([0.2, 0.2, 0.8, 0.8])
    seen = camera.project(np.array([place(p, q) for p, q in zip(a, b, strict=True)]))
    held = np.stack([(a - left) / (right - left) * (width - 1), (b - top) / (bottom - top) * (height - 1)], 1)
    through = cv2.getPerspectiveTransform(held.astype(np.float32), seen.astype(np.float32))
    return np.asarray(cv2.warpPerspective(texture, through, SIZE, flags=cv2.INTER_AREA), np.float64)


def _cloud(rng: np.random.Generator, shape: tuple[int, int], px: float) -> Floats:
    made = cv2.GaussianBlur(rng.normal(0, 1, shape), (0, 0), px)
    return np.asarray(made / made.std(), np.float64)


def _wall(rng: np.random.Generator) -> npt.NDArray[np.float32]:
    shape = round(HIGH_M * PX_PER_M), round((TO_M - FROM_M) * PX_PER_M)
    wall = 150 + 6 * _cloud(rng, shape, 3.0) + 8 * _cloud(rng, shape, 20.0)
    for _ in range(60):
        u, v = rng.integers(0, shape[1] - 90), rng.integers(0, shape[0] - 60)
        wall[v : v + rng.integers(20, 60), u : u + rng.integers(20, 90)] += rng.uniform(-60, 60)
    return np.asarray(wall, np.float32)


def _ground(rng: np.random.Generator, *, grass: bool) -> npt.NDArray[np.float32]:
    shape = round(NEAR_M * PX_PER_M), round((TO_M - FROM_M) * PX_PER_M)
    ground = 95 + 2 * _cloud(rng, shape, 20.0)
    if grass:
        ground += 7 * _cloud(rng, shape, 1.5) + 7 * _cloud(rng, shape, 5.0)
    for z in (1.5, 4.2, 5.4, 6.6, 8.5):
        row = round(z * PX_PER_M)
        ground[row : row + 3] = 190
    for x in range(round(TO_M - FROM_M)):
        row = round(6.6 * PX_PER_M)
        ground[row - 12 : row, round(x * PX_PER_M) : round(x * PX_PER_M) + 3] = 190
    return np.asarray(ground, np.float32)
