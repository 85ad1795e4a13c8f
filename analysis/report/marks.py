"""Marks as they lie on any frame of a film, and how far each is from where the map puts it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from analysis.ground.view import View
from analysis.report.scene import Dot, Stroke
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.command import Kind
from analysis.values.film import FrameNumber
from analysis.values.reading import Reading
from analysis.values.run import GroundMark, Run

Frames = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

RESIDUAL_TIMES = 10
"""So many times its length a residual is drawn: it is seldom more than a few pixels long."""


_LEAST_PX = 1e-3
"""A shorter one is a rounding of numbers (own)."""


def turns(path: CameraPath | None) -> bool:
    """Whether every frame of this path looks another way."""
    return path is not None and path.kind is CameraKind.TURNING


def seen_on_frame(
    path: CameraPath | None,
    lens: Lens | None,
    size: tuple[int, int],
    frame: int,
    frames: Frames,
    pixels: Floats,
) -> Floats:
    """Pixels of other frames, (n, 2), as ``frame`` shows the same places of the hall; NaN where one of the
    two frames can't be tied. For a camera that stands they are the same.
    """
    if not turns(path):
        return pixels
    view = View(size[0], size[1], lens, path)
    return view.seen([frame] * len(frames), view.straight(frames.tolist(), pixels))


def on_frame(run: Run, path: CameraPath | None, lens: Lens | None, size: tuple[int, int], frame: int) -> Run:
    """The run with its marks as frame ``frame`` shows them.

    ``size``: width and height of the picture, px. For a camera that turned every mark is taken to this frame,
    and left out where one of the two frames can't be tied; else the run comes back as it is.
    """
    if not turns(path) or not run.marks:
        return run
    frames = np.array([int(mark.frame) for mark in run.marks])
    pixels = np.array([(m.u, m.v) for m in run.marks], dtype=np.float64)
    seen = seen_on_frame(path, lens, size, frame, frames, pixels)
    moved: list[GroundMark] = []
    for mark, (u, v) in zip(run.marks, seen, strict=True):
        if mark.frame == frame:
            moved.append(mark)
        elif np.isfinite(u + v):
            moved.append(replace(mark, frame=FrameNumber(frame), u=float(u), v=float(v)))
    return replace(run, marks=tuple(moved))


def residual_strokes(marks: Iterable[GroundMark], reading: Reading | None) -> tuple[Stroke, ...]:
    """From each mark, towards where the map of all marks puts it, ten times as far."""
    if reading is None:
        return ()
    known = {mark.id: mark for mark in marks}
    found = []
    for one in reading.marks:
        mark = known.get(one.mark_id)
        if mark is not None and np.hypot(one.du_px, one.dv_px) > _LEAST_PX:
            end = (mark.u - RESIDUAL_TIMES * one.du_px, mark.v - RESIDUAL_TIMES * one.dv_px)
            found.append(Stroke(Kind.MARK, f"{mark.id}:off", None, (mark.u, mark.v), end))
    return tuple(found)


def dots(marks: tuple[GroundMark, ...]) -> tuple[Dot, ...]:
    """Marks to look at that can't be taken hold of: those of a camera place."""
    return tuple(
        Dot(Kind.MARK, mark.id, None, mark.u, mark.v, f"{mark.x_m:g} m" if mark.y_m == 0 else "")
        for mark in marks
    )
