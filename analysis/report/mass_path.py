"""The path of the centre of mass over a frame: its line, where feet touch down and leave, where it is now."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.reading.stages import stage
from analysis.report.scene import Dot, Look, Scene, Stroke, Trail
from analysis.values.command import Kind
from analysis.values.posture import MassPath
from analysis.values.reading import Reading, StepReading
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Seen = Callable[[Whole, Floats], Floats]
"""From pixels of the frames on which they are to pixels of the frame on show, (n, 2)."""

TICK_PX = 14.0
LEAST_PX = 3.0
"""Places of a trail that lie closer together than this are left out: nobody sees them."""
_LOOKS = (Look.PLACED, Look.FOLLOWED, Look.GUESSED)


def path_scene(reading: Reading | None, tracks: Tracks | None, frame: int, seen: Seen) -> Scene:
    """The path as the frame on show has it. A tick down is a touchdown, one up a toe-off."""
    path = reading.mass_path if reading is not None else None
    if path is None or reading is None or not len(path.frames):
        return Scene()
    return replace(
        _whole(reading.steps, path, tracks, seen(path.frames, path.pixels)),
        dots=_now(path, tracks, frame, seen),
    )


@stage
def _whole(steps: tuple[StepReading, ...], path: MassPath, tracks: Tracks | None, places: Floats) -> Scene:
    """All of the path; of a camera that stands it is the same on every frame."""
    return Scene(
        tuple(_ticks(steps, path, places)),
        trails=tuple(_trails(path, places, _looks(path.frames, path.guessed, tracks))),
    )


def _looks(frames: Whole, guessed: npt.NDArray[np.bool_], tracks: Tracks | None) -> Whole:
    """Which of the looks each frame has: guessed where a point under it is, placed where all are."""
    placed = np.ones(len(frames), bool)
    if tracks is not None and len(tracks):
        rows = frames - int(tracks.first)
        inside = (rows >= 0) & (rows < len(tracks))
        known = tracks.standing[np.clip(rows, 0, len(tracks) - 1)]
        placed = ~inside | np.isin(known, (Standing.NONE, Standing.PLACED)).all(axis=1)
    return np.where(placed, 0, np.where(guessed, 2, 1))


def _trails(path: MassPath, places: Floats, looks: Whole) -> Iterator[Trail]:
    """A line for each stretch of frames between which it looks the same: between two placed frames it was
    followed, beside a guess it is one.
    """
    known = np.isfinite(places.sum(axis=1))
    between = np.maximum(1, np.maximum(looks[1:], looks[:-1]))
    between[(np.diff(path.frames) > 1) | ~known[1:] | ~known[:-1]] = -1
    ends = np.flatnonzero(np.diff(between)) + 1
    for first, last in pairwise((0, *ends.tolist(), len(between))):
        if last > first and between[first] >= 0:
            yield Trail(_thinned(places[first : last + 1]), _LOOKS[between[first]])


def _thinned(places: Floats) -> tuple[tuple[float, float], ...]:
    """The ends and what lies far enough from the place before."""
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))])
    rows = np.append(np.flatnonzero(np.diff(np.floor(gone / LEAST_PX), prepend=-1.0)), len(places) - 1)
    return tuple((float(u), float(v)) for u, v in places[np.unique(rows)])


def _ticks(steps: tuple[StepReading, ...], path: MassPath, places: Floats) -> Iterator[Stroke]:
    for step in steps:
        for event, name, down in ((step.touchdown, "touchdown", 1.0), (step.toe_off, "toe_off", -1.0)):
            row = _row(path, event)
            if row is not None and np.isfinite(places[row]).all():
                u, v = (float(a) for a in places[row])
                stroke_id = f"mass:{name}:{step.step}"
                end = (u, v + down * TICK_PX)
                yield Stroke(Kind.POINT, stroke_id, step.side, (u, v), end, thin=True)


def _now(path: MassPath, tracks: Tracks | None, frame: int, seen: Seen) -> tuple[Dot, ...]:
    """Where it is on the frame on show."""
    row = _row(path, frame)
    if row is None:
        return ()
    one = slice(row, row + 1)
    u, v = (float(a) for a in seen(path.frames[one], path.pixels[one])[0])
    look = _LOOKS[_looks(path.frames[one], path.guessed[one], tracks)[0]]
    return (Dot(Kind.POINT, "mass", None, u, v, look=look, centre=True),) if np.isfinite(u + v) else ()


def _row(path: MassPath, frame: int | None) -> int | None:
    if frame is None:
        return None
    row = int(np.searchsorted(path.frames, frame))
    return row if row < len(path.frames) and path.frames[row] == frame else None
