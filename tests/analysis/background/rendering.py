"""Short rendered films whose cameras are known, small so that they cost little."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from analysis.film import open_film
from analysis.values.film import Film
from sample_clips.camera import Camera
from sample_clips.encode import write_film
from sample_clips.film import Film as Rendering
from sample_clips.scenario import CameraKind, CameraPlan, Picture
from sample_clips.scenarios import CAMERAS, drawn

SIZE = (640, 360)


@dataclass(frozen=True)
class Clip:
    """A film and the true camera of each frame."""

    film: Film
    cameras: list[Camera]


def render(
    folder: Path, camera: CameraKind, seed: int, rate: float, begin: int, frames: int, step: int = 1,
    plan: CameraPlan | None = None,
) -> Clip:  # fmt: skip
    """Frames ``begin``, ``begin + step``, ... of a drawn run, the first ``frames`` of them, as a film."""
    scenario = drawn(seed, rate, "right", camera)
    small = replace(scenario.picture, width=SIZE[0], height=SIZE[1])
    scenario = replace(scenario, picture=small, camera=plan or CAMERAS[camera])
    rendering = Rendering(scenario)
    chosen = range(begin, begin + frames * step, step)
    path = folder / f"{camera}_{seed}_{rate:g}_{begin}_{frames}_{step}.mp4"
    write_film(path, (rendering.frame(i) for i in chosen), *SIZE, rate / step, Picture().crf)
    return Clip(open_film(path), [rendering.cameras[i] for i in chosen])


def true_map(camera: Camera, reference: Camera) -> np.ndarray:
    """Pixels of one camera to those of another at the same place: K R' R^T K^-1 (Hartley and Zisserman,
    Multiple View Geometry, 2nd ed., section 8.4: cameras that share a centre)."""
    through = reference.lens @ reference.axes @ camera.axes.T @ np.linalg.inv(camera.lens)
    return through / through[2, 2]


def through(map_: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Places (n, 2) taken through a map."""
    full = np.c_[places, np.ones(len(places))] @ map_.T
    return full[:, :2] / full[:, 2:]


def background(margin: int = 40) -> np.ndarray:
    """Places (n, 2) over the picture."""
    u, v = np.meshgrid(np.linspace(margin, SIZE[0] - margin, 7), np.linspace(margin, SIZE[1] - margin, 5))
    return np.stack([u.ravel(), v.ravel()], -1)
