"""What the body did: measures at the events of a run, with what they rest on, and curves over its frames."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from analysis.values.estimate import Result
from analysis.values.film import FrameNumber
from analysis.values.run import Side

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Wanted = tuple[tuple[FrameNumber, str], ...]
"""(frame, point) of points to be placed."""


class Moment(StrEnum):
    """When in its step a measure of posture is read."""

    SET = "set"
    PUSH = "push"
    TOUCHDOWN = "touchdown"
    TOE_OFF = "toe_off"
    FLIGHT = "flight"


class PostureReading(NamedTuple):
    """One measure of posture.

    ``measure``: its name with its unit, as docs/measures.md lists them. ``step``: 0 for the start push.
    ``side``: whose limb, where the measure is one side's. ``frames``: those that it rests on. ``partial``:
    a rate is not known, or one side stands for both. ``guessed``: it rests on a point that was hidden.
    ``wanted``: where there is no number, the points that would give it; one click each. ``closer``: where one
    side stands for both, the other side's points, which would make the number closer.
    """

    measure: str
    step: int
    moment: Moment
    side: Side | None
    result: Result
    frames: tuple[FrameNumber, ...] = ()
    partial: bool = False
    guessed: bool = False
    wanted: Wanted = ()
    closer: Wanted = ()


class PointDoubt(NamedTuple):
    """A body point that the coach should look at, and why. ``followed``: nobody placed it on that frame."""

    frame: FrameNumber
    name: str
    sentence: str
    followed: bool = False


class _SameArrays:
    """Equal where every field is, arrays element by element."""

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return all(
            np.array_equal(a, b, equal_nan=True)
            if isinstance(a, np.ndarray) and isinstance(b, np.ndarray) and a.dtype.kind == "f"
            else np.array_equal(a, b)
            if isinstance(a, np.ndarray) or isinstance(b, np.ndarray)
            else a == b
            for a, b in ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))  # type: ignore[arg-type]
        )

    def __hash__(self) -> int:
        return hash(type(self))

    def __post_init__(self) -> None:
        for f in fields(self):  # type: ignore[arg-type]
            value = getattr(self, f.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)


@dataclass(frozen=True, eq=False)
class Series(_SameArrays):
    """A measure on every frame on which its points are known, (n,) each, frames rising; read-only.

    ``u``: standard uncertainty of each value. ``guessed``: whether it rests on a hidden point there.
    ``between``: lower and upper point of a line that was asked for, whose measure is ``line_deg``.
    """

    measure: str
    side: Side | None
    frames: Whole
    value: Floats
    u: Floats
    guessed: npt.NDArray[np.bool_]
    between: tuple[str, str] | None = None


@dataclass(frozen=True, eq=False)
class MassPath(_SameArrays):
    """The centre of mass on every frame on which enough of the body is known, (n,) each; read-only.

    ``pixels``: (n, 2), where it is in the picture of its frame. ``metres``: (n, 2) along the run and above
    the ground, NaN without a scale; ``u_m``: (n, 2) standard uncertainty. ``partial``: whether segments are
    missing there. ``guessed``: see Series.
    """

    frames: Whole
    pixels: Floats
    metres: Floats
    u_m: Floats
    partial: npt.NDArray[np.bool_]
    guessed: npt.NDArray[np.bool_]
