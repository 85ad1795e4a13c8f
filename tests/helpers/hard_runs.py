"""Films that are hard to draft: a second runner, a cut, ground or way's end outside the picture, a pan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import av
import numpy as np

from tests.helpers.capsule_runs import CapsuleFilm, CapsuleRun, drawn_run

RATE_HZ = 120.0
SECONDS = 2.0
AHEAD_M = 4.0
BEHIND_S = 0.2
SEEN_TO = 0.32
"""Of the picture's width: where the runner leaves what is cut out of it."""


def plain_run(*, pan: bool = False, seconds: float = SECONDS) -> CapsuleRun:
    """A small run to the right."""
    return drawn_run(44, RATE_HZ, small=True, direction="right", seconds=seconds, pan=pan)


class TwoRunners(CapsuleFilm):
    """A second runner goes along in the same lane, ahead of the first."""

    def __init__(self, run: CapsuleRun) -> None:
        super().__init__(run)
        other = drawn_run(45, RATE_HZ, small=True, direction="right", seconds=SECONDS)
        scene = {name: getattr(run, name) for name in ("scale", "horizon", "ground_v", "roll", "light")}
        feet = tuple(x_m + AHEAD_M for x_m in other.feet_m)
        self._other = CapsuleFilm(replace(other, **scene, feet_m=feet, start_m=other.start_m + AHEAD_M))

    def _draw(self, picture, t):
        self._other._draw(picture, t)
        super()._draw(picture, t)


class Followed(CapsuleFilm):
    """A second runner comes so much later along the same way."""

    def _draw(self, picture, t):
        super()._draw(picture, max(0.0, t - BEHIND_S))
        super()._draw(picture, t)


def hard_frames(kind: str) -> list[np.ndarray]:
    """Frames (height, width, 3), blue first."""
    run = plain_run(pan=kind == "panning")
    film = TwoRunners(run) if kind == "two" else CapsuleFilm(run)
    frames = [film.frame(i) for i in range(run.frames)]
    if kind == "cut":
        return [*frames, *[np.ascontiguousarray(255 - frames[0][::-1])] * 25]
    if kind == "no ground":
        low = int(run.ground_v - 0.25 * run.scale) // 2 * 2
        return [np.ascontiguousarray(one[:low]) for one in frames]
    if kind == "leaving":
        wide = int(SEEN_TO * run.width) // 2 * 2
        return [np.ascontiguousarray(one[:, :wide]) for one in frames]
    return frames


def write_frames(path: Path, frames: list[np.ndarray], rate_hz: float = RATE_HZ) -> Path:
    """The frames as a film."""
    height, width = frames[0].shape[:2]
    with av.open(str(path), "w") as container:
        stream = container.add_stream(
            "libx264", rate=round(rate_hz), options={"crf": "17", "preset": "veryfast"}
        )
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        for picture in frames:
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode())
    return path
