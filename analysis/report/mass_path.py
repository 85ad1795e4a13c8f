"""The path of the centre of mass over a frame: its line, where feet touch down and leave, where it is now."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.report.scene import Dot, Look, Scene, Stroke, Trail
from analysis.values.command import Kind
from analysis.values.posture import MassPath
from analysis.values.reading import Reading
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]
Seen = Callable[[npt.NDArray[np.int64], Floats], Floats]
"""From pixels of the frames on which they are to pixels of the frame on show, (n, 2)."""

TICK_PX = 14.0


def path_scene(reading: Reading | None, tracks: Tracks | None, frame: int, seen: Seen) -> Scene:
    """The path as the frame on show has it. A tick down is a touchdown, one up a toe-off."""
    path = reading.mass_path if reading is not None else None
    if path is None or reading is None or not len(path.frames):
        return Scene()
    places = seen(path.frames, path.pixels)
    looks = _looks(path, tracks)
    strokes = tuple(_ticks(reading, path, places))
    return Scene(strokes, _now(path, places, looks, frame), trails=tuple(_trails(path, places, looks)))


def _looks(path: MassPath, tracks: Tracks | None) -> list[Look]:
    """Guessed where a point under it is, placed where all are, else followed."""
    placed = np.ones(len(path.frames), bool)
    if tracks is not None and len(tracks):
        rows = path.frames - int(tracks.first)
        inside = (rows >= 0) & (rows < len(tracks))
        known = tracks.standing[np.clip(rows, 0, len(tracks) - 1)]
        placed = ~inside | np.isin(known, (Standing.NONE, Standing.PLACED)).all(axis=1)
    plain = np.where(path.guessed, Look.GUESSED.value, Look.FOLLOWED.value)
    return [Look(look) for look in np.where(placed, Look.PLACED.value, plain)]


def _trails(path: MassPath, places: Floats, looks: list[Look]) -> Iterator[Trail]:
    """A line for each stretch of frames between which it looks the same."""
    between = [_between(a, b) for a, b in pairwise(looks)]
    cuts = [
        n + 1
        for n, (a, b) in enumerate(pairwise(path.frames))
        if b > a + 1 or not np.isfinite(places[n] + places[n + 1]).all()
    ]
    for first, last in pairwise((0, *cuts, len(looks))):
        begin = first
        for n in range(first + 1, last):
            if n == last - 1 or between[n] is not between[begin]:
                yield Trail(_as_places(places[begin : n + 1]), between[begin])
                begin = n


def _between(one: Look, other: Look) -> Look:
    """Between two placed frames it was followed or, where one of the two is a guess, guessed."""
    return Look.GUESSED if Look.GUESSED in (one, other) else Look.FOLLOWED


def _as_places(places: Floats) -> tuple[tuple[float, float], ...]:
    return tuple((float(u), float(v)) for u, v in places)


def _ticks(reading: Reading, path: MassPath, places: Floats) -> Iterator[Stroke]:
    for step in reading.steps:
        for event, name, down in ((step.touchdown, "touchdown", 1.0), (step.toe_off, "toe_off", -1.0)):
            row = _row(path, event)
            if row is not None and np.isfinite(places[row]).all():
                u, v = (float(a) for a in places[row])
                stroke_id = f"mass:{name}:{step.step}"
                end = (u, v + down * TICK_PX)
                yield Stroke(Kind.POINT, stroke_id, step.side, (u, v), end, thin=True)


def _now(path: MassPath, places: Floats, looks: list[Look], frame: int) -> tuple[Dot, ...]:
    row = _row(path, frame)
    if row is None or not np.isfinite(places[row]).all():
        return ()
    u, v = (float(a) for a in places[row])
    return (Dot(Kind.POINT, "mass", None, u, v, look=looks[row], centre=True),)


def _row(path: MassPath, frame: int | None) -> int | None:
    if frame is None:
        return None
    row = int(np.searchsorted(path.frames, frame))
    return row if row < len(path.frames) and path.frames[row] == frame else None
