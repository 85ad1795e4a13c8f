"""Pitch lines of known spacing as marks: where no cones stand."""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.values.errors import MarkError
from analysis.values.film import FrameNumber
from analysis.values.run import DEFAULT_ERROR_PX, Direction, GroundMark
from analysis.values.words import tr


def marks_on_lines(
    crossings: Sequence[tuple[float, float]],
    every_m: float,
    first_m: float = 0.0,
    direction: Direction = Direction.RIGHT,
    frame: FrameNumber | None = None,
    error_m: float = 0.0,
) -> tuple[GroundMark, ...]:
    """Marks where lines of equal spacing cross the running line.

    ``crossings``: pixels (u, v) of neighbouring lines, none left out, in any order. ``every_m``: from line to
    line along the running line; ``first_m``: the distance of the first one in the direction of the run.
    ``error_m``: how well each line's place is known. Raises MarkError for a spacing that is none.
    """
    if not (math.isfinite(every_m) and every_m > 0 and math.isfinite(first_m)):
        raise MarkError(tr("The lines need a spacing above 0 m. Give the distance from line to line."))
    ordered = sorted(crossings, reverse=direction is Direction.LEFT)
    on = FrameNumber(0) if frame is None else frame
    return tuple(
        GroundMark(f"line{n}", first_m + n * every_m, 0.0, on, u, v, DEFAULT_ERROR_PX, error_m)
        for n, (u, v) in enumerate(ordered)
    )
