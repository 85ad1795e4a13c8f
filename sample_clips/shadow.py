"""The soft shadow on the ground."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Array
from sample_clips.camera import Camera
from sample_clips.scenario import SIDES

# Metres of shadow along x and z for each metre of height: the lamps hang high over the lane.
SLANT = np.array([0.03, -0.12])
BONES = (
    ("hip", "knee", 0.085),
    ("knee", "ankle", 0.05),
    ("shoulder", "elbow", 0.05),
    ("elbow", "wrist", 0.045),
)


def shadow_of(
    camera: Camera, points: dict[str, Array]
) -> tuple[tuple[slice, slice], NDArray[np.float32]] | None:
    """Where the ground is darkened, and by how much (0 to 1), for one pose (name to (3,) in m)."""
    middle = {
        "mid_shoulder": 0.5 * (points["left_shoulder"] + points["right_shoulder"]),
        "mid_hip": points["mid_hip"],
        "head": points["head"],
    }
    bones = [(points[f"{s}_{a}"], points[f"{s}_{b}"], r) for s in SIDES for a, b, r in BONES]
    bones += [
        (middle["mid_hip"], middle["mid_shoulder"], 0.14),
        (middle["head"], middle["mid_shoulder"], 0.09),
    ]
    feet = [(points[f"{s}_heel"], points[f"{s}_toe"], 0.045) for s in SIDES]
    ends = np.array([[_down(a), _down(b)] for a, b, _ in bones + feet])
    uv = camera.project(ends.reshape(-1, 3)).reshape(-1, 2, 2)
    low = np.maximum(np.floor(uv.min((0, 1))).astype(int) - 30, 0)
    high = np.minimum(np.ceil(uv.max((0, 1))).astype(int) + 31, [camera.width, camera.height_px])
    if np.any(high - low < 4):
        return None
    shape = (int(high[1] - low[1]), int(high[0] - low[0]))
    scale = float(camera.scale(_down(points["mid_hip"])))
    # Seen from so low a shadow is a thin band; it is drawn as such and blurred more along than across.
    body, touch = np.zeros(shape, np.uint8), np.zeros(shape, np.float32)
    for (a, b), (_, _, radius) in zip(uv[: len(bones)] - low, bones, strict=True):
        width = max(1, round(0.45 * radius * scale))
        cv2.line(body, _point(a), _point(b), 255, width, cv2.LINE_AA, 3)
    for (a, b), (heel, toe, _) in zip(uv[len(bones) :] - low, feet, strict=True):
        near = float(np.clip(1.0 - 5.0 * min(heel[1], toe[1]), 0.0, 1.0))
        foot = np.zeros(shape, np.uint8)
        cv2.line(foot, _point(a), _point(b), 255, max(2, round(0.05 * scale)), cv2.LINE_AA, 3)
        touch = np.maximum(touch, near * foot.astype(np.float32) / 255.0)
    wide = cv2.GaussianBlur(body.astype(np.float32) / 255.0, (0, 0), 7.0, sigmaY=2.2)
    close = cv2.GaussianBlur(touch, (0, 0), 2.6, sigmaY=1.1)
    amount = 1.0 - (1.0 - 0.50 * np.clip(wide, 0, 1)) * (1.0 - 0.50 * close)
    return (slice(int(low[1]), int(high[1])), slice(int(low[0]), int(high[0]))), np.asarray(
        amount, np.float32
    )


def _down(p: Array) -> Array:
    return np.array([p[0] + SLANT[0] * p[1], 0.0, p[2] + SLANT[1] * p[1]])


def _point(uv: Array) -> tuple[int, int]:
    return round(float(uv[0]) * 8), round(float(uv[1]) * 8)
