"""The hall: floor with running lanes, wall, cones and poles; drawn once for a camera that stays in place."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Array
from sample_clips.camera import Camera

Image = NDArray[np.float32]

WALL_Z = -6.5
CONES_X_M = (0.0, 2.5, 5.0, 10.0, 13.0)
POLES_X_M = (0.0, 5.0, 10.0)
POLE_HEIGHT_M = 1.20
CONE_HEIGHT_M, CONE_RADIUS_M = 0.14, 0.065
POLE_RADIUS_M = 0.012
ACROSS, DOWN = 2, 6  # samples a pixel: lines on the floor are far thinner down the picture than across


def _noise(rng: np.random.Generator, size: int, octaves: int) -> Image:
    """A wrapping texture of mean 0, spread about 1."""
    out = np.zeros((size, size), np.float32)
    for o in range(octaves):
        n = size >> o
        field = rng.standard_normal((n, n)).astype(np.float32)
        wide = np.asarray(cv2.resize(field, (size, size), interpolation=cv2.INTER_CUBIC), np.float32)
        out += wide * np.float32(0.75 + 0.35 * o)
    return np.asarray(out / out.std(), np.float32)


def _cloud(rng: np.random.Generator, size: int) -> Image:
    """A wrapping texture without detail, mean 0, spread about 1."""
    tiled = np.tile(rng.standard_normal((size, size)).astype(np.float32), (2, 2))
    soft = np.asarray(cv2.GaussianBlur(tiled, (0, 0), 11.0), np.float32)[size // 2 :, size // 2 :][
        :size, :size
    ]
    return np.asarray(soft / soft.std(), np.float32)


def _sample(texture: Image, a: Array, b: Array, per_m: float) -> Image:
    n = texture.shape[0]
    i = np.floor(a * per_m).astype(np.int64) % n
    j = np.floor(b * per_m).astype(np.int64) % n
    return np.asarray(texture[j, i], np.float32)


def _near(value: Array, centre: float, half: float) -> NDArray[np.bool_]:
    return np.asarray(np.abs(value - centre) < half)


def _floor(x: Array, z: Array, grain: Image, cloud: Image) -> Image:
    colour = np.empty((*x.shape, 3), np.float32)
    colour[:] = (0.43, 0.49, 0.52)
    lanes = np.abs(z) < 1.86
    colour[lanes] = (0.60, 0.31, 0.25)
    fine = _sample(grain, x, z, 90.0)
    coarse = _sample(cloud, x, z, 30.0)
    speckle = np.where(lanes, 0.045, 0.012)
    colour *= (1.0 + speckle * fine + 0.018 * coarse)[..., None]
    # Joints of the lane's mats, lines between lanes, start line, marks every metre at the lane's edge.
    colour[lanes & _near(x % 4.0, 2.0, 0.006)] *= 0.86
    for line in (-1.83, -0.61, 0.61, 1.83):
        colour[_near(z, line, 0.025)] = (0.86, 0.86, 0.84)
    colour[_near(x, 0.0, 0.025) & (np.abs(z) < 0.61)] = (0.88, 0.88, 0.86)
    # Court lines beyond the lanes.
    colour[_near(z, -4.4, 0.03)] = (0.82, 0.78, 0.42)
    colour[_near(x, 9.2, 0.04) & (z < -1.9)] = (0.78, 0.80, 0.80)
    colour[_near(np.hypot(x - 1.5, (z + 6.0)), 2.6, 0.03)] = (0.72, 0.78, 0.80)
    colour[_near(z, 3.2, 0.03)] = (0.74, 0.77, 0.78)
    return colour


def _wall(x: Array, y: Array, grain: Image, cloud: Image) -> Image:
    colour = np.empty((*x.shape, 3), np.float32)
    colour[:] = (0.77, 0.76, 0.72)
    colour *= (1.0 + 0.012 * _sample(grain, x, y, 60.0) + 0.011 * _sample(cloud, x, y, 24.0))[..., None]
    # Painted blocks above.
    row = np.floor(y / 0.2)
    mortar = _near(y % 0.2, 0.0, 0.008) | _near((x + 0.2 * (row % 2)) % 0.4, 0.0, 0.008)
    colour[mortar] *= 0.94
    # Wooden boards up to 2.4 m.
    wood = y < 2.4
    board = np.floor(x / 0.6)
    tone = 1.0 + 0.05 * np.sin(board * 12.9898) + 0.025 * _sample(grain, x * 6.0, y * 0.35, 12.0)
    colour[wood] = (np.array([0.66, 0.50, 0.33], np.float32) * tone[..., None].astype(np.float32))[wood]
    colour[wood & _near(x % 0.6, 0.0, 0.010)] *= 0.70
    colour[_near(y, 2.40, 0.035)] = (0.42, 0.31, 0.20)
    # Blue mats against the wall, a double door, wall bars, a high row of windows.
    mat = (x > 10.4) & (x < 15.2) & (y < 1.9) & (y > 0.08)
    colour[mat] = (0.20, 0.33, 0.52)
    colour[mat & _near((x - 10.4) % 1.2, 0.0, 0.014)] *= 0.55
    door = (x > -1.6) & (x < 0.5) & (y < 2.15)
    colour[door] = (0.50, 0.55, 0.56)
    colour[
        door & (_near(x, -0.55, 0.012) | _near(x, -1.6, 0.05) | _near(x, 0.5, 0.05) | _near(y, 2.15, 0.05))
    ] *= 0.6
    colour[door & _near(y, 1.05, 0.03) & _near(x, -0.55, 0.42)] = (0.75, 0.76, 0.76)
    bars = (x > 2.6) & (x < 6.2) & (y < 2.75) & (y > 0.15)
    colour[bars & _near(y % 0.16, 0.0, 0.020)] = (0.80, 0.64, 0.42)
    colour[bars & _near(y % 0.16, 0.030, 0.012)] *= 0.72
    colour[bars & _near((x - 2.6) % 0.9, 0.0, 0.035)] = (0.55, 0.40, 0.25)
    _goal(colour, x, y)
    window = (y > 3.7) & (y < 5.1) & ((x + 1.0) % 2.4 < 2.0)
    sky = 0.90 + 0.05 * (y - 3.7)
    colour[window] = (sky[..., None].astype(np.float32) * np.array([0.93, 0.97, 1.0], np.float32))[window]
    pane = (x + 1.0) % 2.4
    frame = _near(pane, 1.0, 0.022) | _near(pane, 0.0, 0.04) | _near(pane, 2.0, 0.04) | _near(y, 4.55, 0.018)
    colour[window & frame] = (0.60, 0.62, 0.62)
    colour[y < 0.11] = (0.24, 0.22, 0.21)
    # Darker towards the floor and the ceiling.
    colour *= (0.86 + 0.14 * np.clip(y / 2.0, 0.0, 1.0) - 0.10 * np.clip((y - 5.0) / 3.0, 0, 1))[..., None]
    return colour


def _goal(colour: Image, x: Array, y: Array) -> None:
    """A goal of 3 m by 2 m pushed against the wall, its posts striped, its net a fine grid."""
    left, right, top, post = 6.75, 9.75, 2.0, 0.045
    inside = (x > left) & (x < right) & (y < top)
    net = inside & (_near((x + 0.02 * np.sin(9.0 * y)) % 0.1, 0.0, 0.006) | _near(y % 0.1, 0.0, 0.006))
    colour[inside] *= 0.93
    colour[net] = 0.55 * colour[net] + 0.45 * np.array([0.92, 0.92, 0.90], np.float32)
    upright = (_near(x, left, post) | _near(x, right, post)) & (y < top + post)
    bar = _near(y, top, post) & (x > left - post) & (x < right + post)
    stripe = np.where(upright, np.floor(y / 0.2), np.floor((x - left) / 0.2)) % 2 > 0
    colour[(upright | bar) & stripe] = (0.74, 0.17, 0.15)
    colour[(upright | bar) & ~stripe] = (0.90, 0.89, 0.87)
    bench = (x > -6.0) & (x < -2.0) & (y < 0.42) & ((y > 0.34) | (np.abs((x + 2.2) % 1.6) < 0.08))
    colour[bench] = (0.45, 0.32, 0.20)


def hall(camera: Camera, seed: int, light: float, samples: tuple[int, int] = (ACROSS, DOWN)) -> Image:
    """The empty hall with cones and poles as this camera sees it: (height, width, 3), 0 to 1, red first.

    `samples` a pixel, across and down.
    """
    rng = np.random.default_rng([seed, 3])
    grain = _noise(rng, 512, 4)
    cloud = _cloud(rng, 512)
    h, w = camera.height_px, camera.width
    out = np.empty((h, w, 3), np.float32)
    across, down = ((np.arange(n) + 0.5) / n - 0.5 for n in samples)
    band = 60
    for top in range(0, h, band):
        rows = min(band, h - top)
        v = (np.arange(top, top + rows)[:, None] + down[None, :]).ravel()
        u = (np.arange(w)[:, None] + across[None, :]).ravel()
        uu, vv = np.meshgrid(u, v)
        fine = _look(camera, np.stack([uu, vv], -1), grain, cloud)
        out[top : top + rows] = cv2.resize(fine, (w, rows), interpolation=cv2.INTER_AREA)
    _furnish(out, camera)
    return np.asarray(np.clip(out * light, 0.0, 1.0), np.float32)


def _look(camera: Camera, uv: Array, grain: Image, cloud: Image) -> Image:
    ray = camera.rays(uv)
    place = camera.place
    to_wall = (WALL_Z - place[2]) / np.minimum(ray[..., 2], -1e-6)
    y = place[1] + ray[..., 1] * to_wall
    ground = y < 0.0
    to_floor = -place[1] / np.where(ray[..., 1] < -1e-9, ray[..., 1], -1e-9)
    x_wall = place[0] + ray[..., 0] * to_wall
    x = np.where(ground, place[0] + ray[..., 0] * to_floor, x_wall)
    z = np.where(ground, place[2] + ray[..., 2] * to_floor, WALL_Z)
    sign = -1.0 if camera.mirrored else 1.0
    colour = np.empty((*x.shape, 3), np.float32)
    colour[ground] = _floor(sign * x[ground], z[ground], grain, cloud)
    colour[~ground] = _wall(sign * x[~ground], y[~ground], grain, cloud)
    # The polished floor beyond the lanes gives back a little of the wall.
    gloss = ground & (z < -1.86)
    if gloss.any():
        back = place[1] + ray[..., 1] * to_wall
        mirror = _wall(sign * x_wall[gloss], -back[gloss], grain, cloud)
        share = np.clip(0.24 + 0.03 * (z[gloss] + 6.5), 0.1, 0.3)[..., None].astype(np.float32)
        colour[gloss] = colour[gloss] * (1.0 - share) + mirror * share
    near = np.where(ground, np.clip((z + 7.0) / 20.0, 0.0, 1.0), 0.0)
    side = np.abs(x - place[0]) / 12.0
    colour *= (1.0 - 0.10 * near - 0.07 * side**2)[..., None].astype(np.float32)
    return colour


def _furnish(picture: Image, camera: Camera) -> None:
    """Cones and poles, drawn with eight samples a pixel over the finished hall."""
    for x in CONES_X_M:
        _stand(picture, camera, x, x in POLES_X_M)


def _stand(picture: Image, camera: Camera, x: float, pole: bool) -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 40)
    ring = np.stack([np.cos(angle), np.zeros_like(angle), np.sin(angle)], -1)

    def circle(height: float, radius: float) -> Array:
        return np.array([x, height, 0.0]) + radius * ring

    top = circle(CONE_HEIGHT_M, 0.014)
    _fill(
        picture,
        camera,
        circle(0.0, 1.5 * CONE_RADIUS_M) + np.array([0.02, 0.0, -0.03]),
        (0.0, 0.0, 0.0),
        0.28,
        2.0,
    )
    _fill(picture, camera, circle(0.006, 1.18 * CONE_RADIUS_M), (0.80, 0.36, 0.10), 1.0)
    levels = (
        (0.01, 0.06, (0.93, 0.44, 0.12)),
        (0.06, 0.095, (0.92, 0.91, 0.88)),
        (0.095, 0.14, (0.93, 0.44, 0.12)),
    )
    for low, high, colour in levels:
        radius = [CONE_RADIUS_M + (0.014 - CONE_RADIUS_M) * a / CONE_HEIGHT_M for a in (low, high)]
        for part in range(8):  # strips across, lighter on the lit side
            c0, c1 = np.cos(np.pi * part / 8), np.cos(np.pi * (part + 1) / 8)
            lit = 1.06 - 0.5 * (part / 7.0) ** 1.6
            quad = np.array(
                [
                    [x - radius[0] * c0, low, 0.0],
                    [x - radius[0] * c1, low, 0.0],
                    [x - radius[1] * c1, high, 0.0],
                    [x - radius[1] * c0, high, 0.0],
                ]
            )
            _fill(picture, camera, quad, tuple(lit * np.array(colour)), 1.0)
    _fill(picture, camera, top, (0.75, 0.34, 0.10), 1.0)
    if not pole:
        return
    for i in range(6):
        low, high = max(0.13, 0.2 * i), 0.2 * (i + 1)
        colour = (0.94, 0.86, 0.20) if i % 2 else (0.12, 0.12, 0.13)
        for part in range(4):
            a, b = -1.0 + 0.5 * part, -0.5 + 0.5 * part
            quad = np.array(
                [[x + POLE_RADIUS_M * s, y, 0.0] for s, y in ((a, low), (b, low), (b, high), (a, high))]
            )
            _fill(picture, camera, quad, tuple((1.05 - 0.16 * part) * np.array(colour)), 1.0)


def _fill(
    picture: Image, camera: Camera, outline: Array, colour: tuple[float, ...], alpha: float, blur: float = 0.0
) -> None:
    uv = camera.project(outline)
    low = np.floor(uv.min(0)).astype(int) - 8
    high = np.ceil(uv.max(0)).astype(int) + 9
    low, high = np.maximum(low, 0), np.minimum(high, [camera.width, camera.height_px])
    if np.any(high <= low):
        return
    k = 8
    size = (high - low) * k
    mask = np.zeros((size[1], size[0]), np.uint8)
    # Pixel centres lie at whole numbers: the fine grid starts half a pixel before them.
    fine = (uv - low + 0.5) * k - 0.5
    cv2.fillPoly(mask, [np.round(fine * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    cover = cv2.resize(mask, (int(high[0] - low[0]), int(high[1] - low[1])), interpolation=cv2.INTER_AREA)
    a = np.asarray(cover, np.float32) / 255.0 * np.float32(alpha)
    if blur:
        a = np.asarray(cv2.GaussianBlur(a, (0, 0), blur), np.float32)
    part = picture[low[1] : high[1], low[0] : high[0]]
    part += a[..., None] * (np.array(colour, np.float32) - part)


@dataclass
class Backdrop:
    """The hall for every frame of a camera that turns in place: drawn once, warped where the camera moves."""

    cameras: list[Camera]
    seed: int
    light: float

    def __post_init__(self) -> None:
        first = self.cameras[0]
        self._still = all(c == first for c in self.cameras)
        self._walks = any(c.x != first.x for c in self.cameras)
        if self._walks:
            return
        if self._still:
            self._wide, self._picture = first, hall(first, self.seed, self.light)
            return
        pans = [c.pan for c in self.cameras]
        middle = 0.5 * (min(pans) + max(pans))
        half = np.degrees(np.arctan(first.width / 2.0 / first.focal)) + 0.5 * (max(pans) - min(pans)) + 3.0
        half_v = np.degrees(np.arctan(first.height_px / 2.0 / first.focal)) + 5.0
        zoom = 1.15
        width = int(2 * zoom * first.focal * np.tan(np.radians(half)))
        height = int(2 * zoom * first.focal * np.tan(np.radians(half_v)) / np.cos(np.radians(half)))
        tilts = [c.tilt for c in self.cameras]
        self._wide = replace(
            first,
            focal=zoom * first.focal,
            width=width,
            height_px=height,
            pan=middle,
            roll=0.0,
            k1=0.0,
            tilt=float(np.mean(tilts)),
        )
        # Warping softens it anyway: fewer samples a pixel do.
        self._picture = hall(self._wide, self.seed, self.light, (1, 3))

    def frame(self, i: int) -> Image:
        """The empty picture of frame i; the caller may not change it."""
        c = self.cameras[i]
        if self._walks:  # near and far part company: no picture serves for another place
            return hall(c, self.seed, self.light, (1, 3))
        if self._still:
            return self._picture
        if not c.k1:  # a camera that only turns sees the same picture through a homography
            back = self._wide.lens @ self._wide.axes @ c.axes.T @ np.linalg.inv(c.lens)
            return np.asarray(
                cv2.warpPerspective(
                    self._picture,
                    back,
                    (c.width, c.height_px),
                    flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
                    borderMode=cv2.BORDER_REPLICATE,
                ),
                np.float32,
            )
        uv = np.stack(np.meshgrid(np.arange(c.width, dtype=float), np.arange(c.height_px, dtype=float)), -1)
        d = c.rays(uv) @ self._wide.axes.T
        at = (self._wide.centre + self._wide.focal * d[..., :2] / d[..., 2:]).astype(np.float32)
        return np.asarray(
            cv2.remap(
                self._picture, at[..., 0], at[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
            ),
            np.float32,
        )
