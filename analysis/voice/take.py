"""One take: sound as it is heard, and what the film shows meanwhile, on one time axis, that of the sound.

The sound comes in blocks, each with the moment at which its first sample was in the air. That moment and the
moments at which the film changed are read from one clock, so the two stay together however late a block is
handed over, and however the clock of the microphone runs against that of the machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from queue import Empty, SimpleQueue
from typing import Protocol

import numpy as np
import numpy.typing as npt

from analysis.values.film import FrameNumber
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown
from analysis.values.time_map import Knot, TimeMap
from analysis.voice.sound import RATE_HZ, Samples, SoundWriter

GAP_S = 0.02
"""A block that comes later than the samples before it allow, by more than this, comes after a gap."""

LONGEST_S = 1800.0


@dataclass(frozen=True)
class Block:
    """Sound of one channel at 48 kHz: float samples of full scale 1, shape (n,). ``at_s``: when the first one
    was in the air, by the clock of the source.
    """

    samples: npt.NDArray[np.float32]
    at_s: float


class SoundIn(Protocol):
    """Where sound comes from."""

    def start(self, heard: Callable[[Block], None]) -> None:
        """Begin; ``heard`` is called on any thread. Raises NarrationError where there is nothing to hear."""

    def stop(self) -> None:
        """End; ``heard`` is not called any more. May be called twice."""

    def now_s(self) -> float:
        """The present, by the clock of the blocks."""


class Take:
    """Collects a take. ``heard`` may be called from any thread, all else from one.

    ``shown``, ``pen_down``, ``pen_moved`` and ``wiped`` are told the moment by the clock of the source.
    """

    def __init__(self) -> None:
        self._blocks: SimpleQueue[Block] = SimpleQueue()
        self._writer = SoundWriter()
        self._anchors: list[Knot] = []  # moments by the clock, and where in the sound they are
        self._shown: list[Shown] = []
        self._strokes: list[PenStroke] = []
        self._level = 0.0

    def heard(self, block: Block) -> None:
        """Sound has come."""
        self._blocks.put(block)

    def take_in(self) -> None:
        """Take in what was heard since."""
        peak = None
        while True:
            try:
                block = self._blocks.get_nowait()
            except Empty:
                break
            if len(block.samples):
                peak = max(peak or 0.0, float(np.abs(block.samples).max()))
                self._add(block)
        if peak is not None:
            self._level = min(1.0, peak)

    @property
    def level(self) -> float:
        """How loud it was since it was last taken in: the peak, 0 to 1 of full scale."""
        return self._level

    @property
    def lasts_s(self) -> float:
        """How much sound there is."""
        return self._writer.count / RATE_HZ

    @property
    def full(self) -> bool:
        """Whether it is as long as a take may be."""
        return self.lasts_s >= LONGEST_S

    def shown(self, now_s: float, frame: int, beside: int | None = None, stop_id: str = "") -> None:
        """The film shows this from now on."""
        second = None if beside is None else FrameNumber(beside)
        one = Shown(now_s, FrameNumber(frame), second, stop_id)
        if not self._shown or replace(self._shown[-1], t_s=now_s) != one:
            self._shown.append(one)

    def pen_down(self, now_s: float, u: float, v: float, *, beside: bool = False) -> None:
        """A stroke begins."""
        self._strokes.append(PenStroke((PenPoint(now_s, u, v),), None, beside))

    def pen_moved(self, now_s: float, u: float, v: float) -> None:
        """The stroke goes on."""
        if self._strokes:
            last = self._strokes[-1]
            self._strokes[-1] = replace(last, points=(*last.points, PenPoint(now_s, u, v)))

    def wiped(self, now_s: float) -> None:
        """All strokes are wiped away."""
        self._strokes = [
            stroke if stroke.until_s is not None else replace(stroke, until_s=now_s)
            for stroke in self._strokes
        ]

    def finish(self, recording_id: str) -> Recording | None:
        """The recording; None where no sound came or no film was shown."""
        self.take_in()
        sound = self._writer.finish()
        if not self._anchors or not self._shown:
            return None
        inside = _Inside(TimeMap(tuple(self._anchors)), self.lasts_s)
        strokes = tuple(map(inside.stroke, self._strokes))
        return Recording(recording_id, sound, self.lasts_s, inside.playhead(self._shown), strokes)

    def _add(self, block: Block) -> None:
        """Write a block where its moment says; what was lost before it is silence."""
        count = self._writer.count
        if self._anchors:
            moment_s, sound_s = self._anchors[-1]
            expected = sound_s + block.at_s - moment_s
            if expected - count / RATE_HZ > GAP_S:
                self._writer.add(np.zeros(round(expected * RATE_HZ) - count, dtype=np.int16))
        if not self._anchors or block.at_s > self._anchors[-1][0]:
            self._anchors.append((block.at_s, self._writer.count / RATE_HZ))
        self._writer.add(_whole(block.samples))


@dataclass(frozen=True)
class _Inside:
    """Moments by the clock of the source as times of a sound, none of them beyond its ends."""

    sound_s: TimeMap
    lasts_s: float

    def at(self, now_s: float) -> float:
        return min(max(0.0, self.sound_s.film_s(now_s)), self.lasts_s)

    def playhead(self, shown: Sequence[Shown]) -> tuple[Shown, ...]:
        """Of what was shown before the sound began, the last."""
        placed = [replace(one, t_s=self.at(one.t_s)) for one in shown]
        begun = [n for n, one in enumerate(placed) if one.t_s <= 0.0]
        kept = placed[begun[-1] if begun else 0 :]
        return (replace(kept[0], t_s=0.0), *kept[1:])

    def stroke(self, stroke: PenStroke) -> PenStroke:
        points = tuple(replace(point, t_s=self.at(point.t_s)) for point in stroke.points)
        until_s = None if stroke.until_s is None else self.at(stroke.until_s)
        return replace(stroke, points=points, until_s=until_s)


def _whole(samples: npt.NDArray[np.float32]) -> Samples:
    return np.asarray(np.round(np.clip(samples, -1.0, 1.0) * 32767), dtype=np.int16)
