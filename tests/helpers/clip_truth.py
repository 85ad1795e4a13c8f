"""Where the body's points are in the frames of a sample clip: the renderer's truth beside it."""

from pathlib import Path

import numpy as np

from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"


class ClipTruth:
    """Of the clip of that name."""

    def __init__(self, name: str) -> None:
        with np.load(SAMPLES / f"{name}.truth.npz") as arrays:
            self.names, self.pixels = [str(n) for n in arrays["names"]], arrays["pixels"]

    def place(self, frame: int, name: str) -> tuple[float, float]:
        """The pixel of a point."""
        u, v = self.pixels[frame, self.names.index(name)]
        return float(u), float(v)

    def point(self, frame: int, name: str) -> BodyPoint:
        """A point placed there."""
        return BodyPoint(FrameNumber(frame), name, *self.place(frame, name))
