"""Marks of any frames as the reference frame of the film shows them: what a camera place keeps."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from analysis.ground.view import View
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark


def reference_marks(view: View, marks: Sequence[GroundMark]) -> list[GroundMark]:
    """The marks in pixels of the reference frame, the lens left in, without those that can't be tied to it.

    Where the camera turned, the path's error on each mark's frame is added to the mark's own. For a camera
    that stood still they come back as they are, but for their frame, which is 0.
    """
    if not view.moves or view.path is None or not marks:
        return [replace(mark, frame=FrameNumber(0)) for mark in marks]
    frames = [int(mark.frame) for mark in marks]
    pixels = np.array([(mark.u, mark.v) for mark in marks], dtype=np.float64)
    straight = view.straight(frames, pixels)
    there = view.seen([int(view.path.reference)] * len(frames), straight)
    drift = view.drift_px(frames)
    return [
        replace(
            mark, frame=FrameNumber(0), u=float(u), v=float(v), error_px=float(math.hypot(mark.error_px, e))
        )
        for mark, (u, v), e in zip(marks, there, drift, strict=True)
        if math.isfinite(u + v + e)
    ]
