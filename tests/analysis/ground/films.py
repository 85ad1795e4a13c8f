"""Runs seen by a pinhole camera that bends, turns or stands elsewhere, for tests of the ground."""

from __future__ import annotations

import numpy as np

from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.run import BodyPoint, Direction, FrameNumber, GroundMark, Run
from tests.analysis.ground.pinhole import Pinhole

LINE = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)]
PLANE = [*LINE, (0.0, 1.2), (10.0, 1.2)]


def bent(lens: Lens, pixels: np.ndarray) -> np.ndarray:
    """Pixels through one radial coefficient, by the formula of OpenCV's documentation."""
    x = (np.asarray(pixels) - lens.centre) / lens.focal_px
    out: np.ndarray = np.array(lens.centre) + lens.focal_px * x * (
        1 + lens.k1 * (x**2).sum(axis=1, keepdims=True)
    )
    return out


def marks_at(pixels, places, frames=None, **more):
    """Marks of places (x, y) or (x, y, z) at pixels."""
    return tuple(
        GroundMark(
            f"m{n}",
            place[0],
            place[1],
            FrameNumber(0 if frames is None else frames[n]),
            float(u),
            float(v),
            z_m=place[2] if len(place) > 2 else 0.0,
            **more,
        )
        for n, (place, (u, v)) in enumerate(zip(places, pixels, strict=True))
    )


def run_of(marks, points=(), leftwards=False, distance=12.0, **more):
    """A run with these marks and points."""
    return Run(
        "r",
        "f",
        "run",
        FrameNumber(0),
        FrameNumber(500),
        direction=Direction.LEFT if leftwards else Direction.RIGHT,
        camera_distance_m=distance,
        marks=tuple(marks),
        points=tuple(points),
        **more,
    )


def point(frame, name, pixel, error=1.5):
    """A body point."""
    return BodyPoint(FrameNumber(frame), name, float(pixel[0]), float(pixel[1]), error)


def panned(turns_deg, rolls_deg=None, **more):
    """Cameras that turn in one place, and the exact path of their frames to the first: K R0 R^T K^-1."""
    rolls = [0.0] * len(turns_deg) if rolls_deg is None else rolls_deg
    cameras = [Pinhole(turn_deg=t, roll_deg=r, **more) for t, r in zip(turns_deg, rolls, strict=True)]
    first = _projection(cameras[0])
    maps = np.array([first @ np.linalg.inv(_projection(c)) for c in cameras])
    maps /= maps[:, 2:, 2:]
    path = CameraPath(CameraKind.TURNING, FrameNumber(0), FrameNumber(0), maps, np.full(len(maps), 0.3))
    return cameras, path


def _projection(camera: Pinhole) -> np.ndarray:
    """K R of a camera: directions to homogeneous pixels, found from four directions that it sees."""
    directions = np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
    seen = camera.pixels(np.column_stack([camera.x_m + directions[:, 0], camera.height_m + directions[:, 1]]))
    rows = []
    for (x, y), (u, v) in zip(directions, seen, strict=True):
        p = np.array([x, y, 1.0])
        rows += [np.concatenate([p, np.zeros(3), -u * p]), np.concatenate([np.zeros(3), p, -v * p])]
    found: np.ndarray = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    return found / np.linalg.det(found) ** (1 / 3) if np.linalg.det(found) > 0 else -found
