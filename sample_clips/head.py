"""Head, face and hair, and other parts that are outlines rather than limbs."""

from __future__ import annotations

import cv2
import numpy as np

from sample_clips.body import Array
from sample_clips.scenario import Colour
from sample_clips.shading import AMBIENT, DIFFUSE, LIGHT, Canvas

# Outlines in head lengths (vertex to chin about 1): forward, up; origin in the middle of the skull.
FACE = [
    (0.20, 0.44), (0.33, 0.33), (0.385, 0.20), (0.385, 0.10), (0.365, 0.035), (0.40, -0.02), (0.465, -0.125),
    (0.455, -0.155), (0.395, -0.165), (0.385, -0.205), (0.405, -0.235), (0.39, -0.265), (0.40, -0.30),
    (0.38, -0.335), (0.385, -0.39), (0.355, -0.455), (0.29, -0.475), (0.17, -0.425), (0.05, -0.34),
    (-0.02, -0.27), (-0.10, -0.32), (-0.27, -0.26), (-0.36, -0.10), (-0.42, 0.08), (-0.38, 0.28),
    (-0.22, 0.43), (0.0, 0.49),
]  # fmt: skip
HAIR = [
    (0.345, 0.335), (0.27, 0.30), (0.20, 0.235), (0.13, 0.19), (0.105, 0.10), (0.085, -0.03), (0.045, -0.05),
    (0.02, 0.06), (-0.03, 0.07), (-0.10, -0.02), (-0.13, -0.14), (-0.19, -0.255), (-0.29, -0.275),
    (-0.40, -0.12),
    (-0.47, 0.08), (-0.44, 0.30), (-0.30, 0.46), (-0.10, 0.545), (0.10, 0.545), (0.26, 0.475), (0.36, 0.40),
]  # fmt: skip
EAR = [
    (0.035, 0.03),
    (0.0, 0.055),
    (-0.045, 0.04),
    (-0.055, -0.02),
    (-0.03, -0.10),
    (0.0, -0.125),
    (0.03, -0.09),
]
EYE = [(0.265, 0.025), (0.30, 0.04), (0.345, 0.03), (0.345, 0.0), (0.30, -0.005)]
BROW = [(0.235, 0.085), (0.30, 0.115), (0.37, 0.095), (0.37, 0.07), (0.30, 0.09), (0.24, 0.065)]
MOUTH = [(0.30, -0.262), (0.395, -0.255), (0.392, -0.272), (0.31, -0.285)]
JAW_SHADOW = [
    (0.30, -0.47),
    (0.17, -0.425),
    (0.04, -0.33),
    (-0.03, -0.22),
    (0.02, -0.20),
    (0.12, -0.33),
    (0.25, -0.40),
]


def smooth_outline(points: Array, rounds: int = 2) -> Array:
    """Cuts the corners of a closed outline (Chaikin)."""
    for _ in range(rounds):
        after = np.roll(points, -1, axis=0)
        points = np.stack([0.75 * points + 0.25 * after, 0.25 * points + 0.75 * after], 1).reshape(-1, 2)
    return points


def draw_outline(
    canvas: Canvas,
    outline: Array,
    colour: Colour,
    tone: float = 1.0,
    ball: tuple[Array, float] | None = None,
    dusk: float = 0.0,
    alpha: float = 1.0,
) -> None:
    """Fills an outline (n, 2) in picture px; `ball` (centre, radius in px) lights it like a ball."""
    p = canvas.place(outline)
    margin = 3.0 * canvas.fine
    where = canvas.window(p.min(0) - margin, p.max(0) + margin)
    if where is None:
        return
    shape = (where[0].stop - where[0].start, where[1].stop - where[1].start)
    mask = np.zeros(shape, np.uint8)
    corner = np.array([where[1].start, where[0].start])
    cv2.fillPoly(mask, [np.round((p - corner) * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    cover = mask.astype(np.float32) / 255.0
    shade = np.full(shape, (AMBIENT + 0.55 * DIFFUSE) * tone, np.float32)
    if ball is not None:
        centre, radius = canvas.place(ball[0]), ball[1] * canvas.fine
        y, x = np.mgrid[where].astype(np.float32)
        nx, ny = np.clip((x - centre[0]) / radius, -1, 1), np.clip((y - centre[1]) / radius, -1, 1)
        facing = np.sqrt(np.clip(1.0 - nx**2 - ny**2, 0.0, 1.0))
        lit = np.maximum(nx * LIGHT[0] + ny * LIGHT[1] + facing * LIGHT[2], 0.0)
        shade = ((AMBIENT + DIFFUSE * lit - 0.10 * (1.0 - facing) ** 3) * tone).astype(np.float32)
    soft = None
    if dusk:
        soft = np.asarray(dusk * cv2.GaussianBlur(cover, (0, 0), 1.6 * canvas.fine), np.float32)
    canvas.paint(where, shade, colour, np.asarray(cover * alpha, np.float32), soft)


def draw_head(
    canvas: Canvas, centre: Array, up: Array, forward: Array, size: float, skin: Colour, hair: Colour
) -> None:
    """A head in profile: `centre` in px, `up` and `forward` directions, `size` vertex to chin in px."""

    def put(shape: list[tuple[float, float]], rounds: int = 2) -> Array:
        s = smooth_outline(np.array(shape), rounds)
        return np.asarray(centre + size * (s[:, :1] * forward + s[:, 1:] * up))

    ball = (centre, 0.56 * size)
    draw_outline(canvas, put(FACE, 1), skin, 1.0, ball, dusk=0.30)
    draw_outline(canvas, put(JAW_SHADOW), (0.30, 0.17, 0.12), 1.0, alpha=0.30)
    draw_outline(canvas, put(EYE, 1), (0.16, 0.11, 0.10), 1.0, alpha=0.75)
    draw_outline(canvas, put(BROW, 1), hair, 1.0, alpha=0.85)
    draw_outline(canvas, put(MOUTH, 1), (0.45, 0.20, 0.18), 0.9, alpha=0.70)
    draw_outline(canvas, put(HAIR, 1), hair, 1.15, ball)
    draw_outline(canvas, put(EAR), skin, 0.92, ball)
