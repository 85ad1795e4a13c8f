"""Frames as stretches of the time axis."""

from __future__ import annotations

import numpy as np

from analysis.values.film import FrameTimes


class FrameCells:
    """Where frames begin on an axis whose zero is ``zero_s`` of the film: half an interval before their time.

    An event is marked on the first frame in which it is so, and is estimated to lie half an interval before:
    on the edge between two cells. So a block drawn from edge to edge holds exactly its frames.

    Attributes:
        first, last: the frames that may be asked for.

    """

    def __init__(self, times: FrameTimes, first: int, last: int, zero_s: float = 0.0) -> None:
        self.first = first
        self.last = last
        self._times = times
        self._zero_s = zero_s

    def alike(self, other: FrameCells) -> bool:
        """Whether the other one holds the same stretch of the same film on the same axis."""
        mine = (self.first, self.last, self._zero_s, self._times.time_base)
        theirs = (other.first, other.last, other._zero_s, other._times.time_base)
        return mine == theirs and self._times.pts == other._times.pts

    def time(self, frame: int) -> float:
        """Capture time of a frame."""
        return self._times.at(frame) - self._zero_s

    @property
    def shortest_s(self) -> float:
        """The shortest time between two frames."""
        gaps = np.diff(self._times.seconds)
        return float(gaps.min()) if gaps.size else 1.0

    def start(self, frame: int) -> float:
        """Where the frame's cell begins."""
        if len(self._times) < 2:
            return self.time(frame)
        return self.time(frame) - self._times.interval_before(frame) / 2

    def frame_at(self, time_s: float) -> int:
        """The frame in whose cell a moment lies."""
        frame = int(self._times.last_at_or_before(time_s + self._zero_s))
        if frame + 1 < len(self._times) and time_s >= self.start(frame + 1):
            frame += 1
        return min(max(frame, self.first), self.last)

    def edge_at(self, time_s: float) -> int:
        """The frame whose cell begins nearest to a moment."""
        frame = self.frame_at(time_s)
        if frame < self.last and self.start(frame + 1) - time_s < time_s - self.start(frame):
            return frame + 1
        return frame
