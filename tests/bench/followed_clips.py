"""Films with truth for the bench of following: the first steps of drawn runs, at a scale of choice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sample_clips.encode import write_film
from sample_clips.film import Film
from sample_clips.scenario import CameraPlan, Scenario
from sample_clips.scenarios import drawn
from sample_clips.truth import Truth, read_truth, truth_of, write_truth

WIDTH, SECONDS = 1280, 1.75


@dataclass(frozen=True)
class Clip:
    """A film and its truth. ``px_per_m``: on the running line."""

    path: Path
    truth: Truth
    px_per_m: float

    @property
    def names(self) -> list[str]:
        """Names of the points in the truth's arrays."""
        return [str(n) for n in self.truth.arrays["names"]]

    @property
    def pixels(self) -> NDArray[np.float64]:
        """Places of the points, (n, 19, 2)."""
        return np.asarray(self.truth.arrays["pixels"])


def filmed(seed: int, px_per_m: float, fps: float = 240.0) -> Scenario:
    """A run from rest to its fourth step. Runs of even seeds go to the right, of odd ones to the left."""
    direction = "right" if seed % 2 == 0 else "left"
    span = WIDTH / px_per_m
    camera = CameraPlan(distance_m=12.0 * span / 14.5 + 2.0, span_m=span, centre_x_m=min(5.6, span / 2 - 1.2))
    scenario = drawn(seed, fps, direction)
    name = f"follow_{seed}_{px_per_m:g}_{fps:g}"
    picture = replace(scenario.picture, frames=round(SECONDS * fps))
    return replace(scenario, name=name, camera=camera, picture=picture)


def make_clip(folder: Path, seed: int, px_per_m: float, fps: float = 240.0) -> Clip:
    """Render such a run, or take it from the folder where it was rendered before."""
    scenario = filmed(seed, px_per_m, fps)
    path = folder / f"{scenario.name}.mp4"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        film, picture = Film(scenario), scenario.picture
        with np.errstate(divide="ignore"):  # marks beyond the film's end are never passed
            write_truth(folder, truth_of(film))
        part = path.with_suffix(".part.mp4")
        write_film(part, film.frames(), picture.width, picture.height, picture.fps, picture.crf)
        part.rename(path)
    return Clip(path, read_truth(folder, scenario.name), px_per_m)
