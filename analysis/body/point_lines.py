"""Body points over the frames of a film, and all of them at several moments at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Singles = npt.NDArray[np.float32]
Whole = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class PointLine:
    """One point over its frames. ``xy``: (k, 2). ``own``: (k, 2) standard uncertainties. ``shared``:
    (k, 2, s) changes by one standard uncertainty of each shared source.
    """

    frames: Whole
    xy: Floats
    own: Floats
    shared: Singles
    guessed: Flags

    def row(self, frame: int) -> int | None:
        """The row of a frame, or None."""
        if self.stretch is None:
            return self._rows.get(frame)
        row = frame - self.stretch.start
        return row if 0 <= row < len(self.stretch) else None

    @cached_property
    def stretch(self) -> range | None:
        """Its frames where none is missing between the first and the last, as where it was followed."""
        first, last = int(self.frames[0]), int(self.frames[-1])
        return range(first, last + 1) if last - first + 1 == len(self.frames) else None

    @cached_property
    def _rows(self) -> dict[int, int]:
        return {frame: row for row, frame in enumerate(self.frames.tolist())}

    @property
    def held(self) -> Collection[int]:
        """The frames that it holds, which are quick to be asked for one."""
        return self._rows if self.stretch is None else self.stretch

    def holds(self, frames: Whole) -> Flags:
        """Which of the frames it holds."""
        if self.stretch is not None:
            return (frames >= self.stretch.start) & (frames < self.stretch.stop)
        nearest = np.minimum(np.searchsorted(self.frames, frames), len(self.frames) - 1)
        out: Flags = self.frames[nearest] == frames
        return out

    def holds_all(self, frames: Sequence[int] | Whole) -> bool:
        """Whether it holds every one of the frames, which rise."""
        if not len(frames):
            return True
        if self.stretch is not None:
            return self.stretch.start <= int(frames[0]) and int(frames[-1]) < self.stretch.stop
        return bool(self.holds(np.asarray(frames, dtype=np.int64)).all())

    def xy_on(self, frames: Whole) -> Floats:
        """Places on frames that it holds, which rise, (n, 2)."""
        if self.stretch is not None and len(frames) and int(frames[-1] - frames[0]) + 1 == len(frames):
            begin = int(frames[0]) - self.stretch.start
            return self.xy[begin : begin + len(frames)]
        return self.xy[self.rows(frames)]

    def rows(self, frames: Whole) -> Whole:
        """The rows of frames that it holds."""
        if self.stretch is not None:
            return frames - self.stretch.start
        return np.searchsorted(self.frames, frames)


@dataclass(frozen=True, eq=False)
class EveryPoint:
    """All points of a film below each other, as in ``PointLine``; ``start``: the first row of each."""

    xy: Floats
    own: Floats
    shared: Singles
    guessed: Flags
    start: Mapping[str, int]

    def line(self, name: str, frames: Whole) -> PointLine:
        """One of them, which stands on these frames."""
        rows = slice(self.start[name], self.start[name] + len(frames))
        return PointLine(frames, self.xy[rows], self.own[rows], self.shared[rows], self.guessed[rows])


Alone: TypeAlias = tuple[list[float], list[float], list[float], list[list[float]], bool]


@dataclass(frozen=True, eq=False)
class PointsAt:
    """All p points at n moments. ``place``: which name stands in which column. ``there``: (n, p), whether a
    point stands on every frame that its place at the moment rests on; nothing else of it counts where it does
    not. ``standing``: (n, p), whether it stands on one of them. ``xy``, ``own`` and ``rate``, per s of the
    moment: (n, p, 2). ``shared``: (n, p, 2, s). ``guessed``: (n, p).
    """

    place: Mapping[str, int]
    there: Flags
    standing: Flags
    xy: Floats
    own: Floats
    rate: Floats
    shared: Floats
    guessed: Flags

    def each(self, moment: int) -> list[Alone]:
        """Of every point at a moment its place, rate, own and shared errors along each axis, and whether it
        is a guess, as plain numbers, which are read one by one in a tenth of the time.
        """
        listed = (one[moment].tolist() for one in (self.xy, self.rate, self.own, self.shared, self.guessed))
        return list(zip(*listed, strict=True))


@dataclass(frozen=True, eq=False)
class PointTable:
    """The points of a film, for many moments at once: ``every`` of them, and their ``lines``."""

    every: EveryPoint
    lines: Mapping[str, PointLine]
    seconds: Floats

    @cached_property
    def place(self) -> dict[str, int]:
        """Which name stands in which column."""
        return {name: column for column, name in enumerate(self.lines)}

    @cached_property
    def _start(self) -> Whole:
        return np.array([self.every.start[name] for name in self.lines], dtype=np.int64)

    @cached_property
    def _stretches(self) -> tuple[Whole, Whole]:
        """First frames of the points and how many frames follow without a gap; none for one with gaps."""
        held = [line.stretch or range(0) for line in self.lines.values()]
        first, count = [one.start for one in held], [len(one) for one in held]
        return np.array(first, dtype=np.int64), np.array(count, dtype=np.int64)

    @cached_property
    def _with_gaps(self) -> list[tuple[int, PointLine]]:
        return [(n, line) for n, line in enumerate(self.lines.values()) if line.stretch is None]

    def found(self, frames: Whole) -> tuple[Flags, Whole]:
        """Which points stand on frames (n,), and their rows among all, (n, p)."""
        first, count = self._stretches
        rows = frames[:, None] - first
        here = (rows >= 0) & (rows < count)
        for column, line in self._with_gaps:
            rows[:, column] = np.searchsorted(line.frames, frames)
            here[:, column] = line.holds(frames)
        return here, np.where(here, self._start + rows, 0)

    def on(self, frames: Sequence[int]) -> PointsAt:
        """All points on frames."""
        here, now = self.found(np.asarray(frames, dtype=np.int64))
        every = self.every
        rate = np.zeros((*now.shape, 2))
        shared = every.shared[now].astype(np.float64)
        return PointsAt(
            self.place, here, here, every.xy[now], every.own[now], rate, shared, every.guessed[now]
        )

    def between(self, frames: Sequence[int], times_s: Sequence[float]) -> PointsAt:
        """All points at ``times_s`` of film time, (n,), between ``frames`` and the ones before.

        The errors of neighbouring frames are taken as one: they are where a point was followed.
        """
        at = np.asarray(frames, dtype=np.int64)
        here, now = self.found(at)
        earlier, before = self.found(at - 1)
        end = self.seconds[np.clip(at, 0, len(self.seconds) - 1)]
        gap = end - self.seconds[np.maximum(at - 1, 0)]
        gap = np.where(gap > 0, gap, 1.0)
        share = 1.0 + (np.asarray(times_s) - end) / gap
        late, early = share[:, None, None], 1.0 - share[:, None, None]
        every = self.every
        travel = every.xy[now] - every.xy[before]
        return PointsAt(
            self.place,
            here & earlier,
            here | earlier,
            every.xy[before] + late * travel,
            early * every.own[before] + late * every.own[now],
            travel / gap[:, None, None],
            early[..., None] * every.shared[before] + late[..., None] * every.shared[now],
            every.guessed[before] | every.guessed[now],
        )
