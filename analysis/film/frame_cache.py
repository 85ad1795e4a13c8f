"""Decoded frames near the one on show, bounded by bytes."""

from __future__ import annotations

from av.video.frame import VideoFrame

_BEHIND_COUNTS = 3
"""A frame behind the direction of travel goes before one that lies up to this many times as far ahead."""


class FrameCache:
    """Keeps decoded frames as the decoder made them: a third of the size of a picture for the screen.

    ``budget_bytes``: the most that is kept; the frames furthest from the one on show go first. Changed on one
    thread; ``get`` may be called on any.
    """

    def __init__(self, budget_bytes: int) -> None:
        self._budget = budget_bytes
        self._frames: dict[int, tuple[VideoFrame, int]] = {}
        self._bytes = 0
        self._centre = 0
        self._direction = 0

    def travel_to(self, number: int) -> None:
        """The frame on show is now ``number``."""
        if number != self._centre:
            self._direction = 1 if number > self._centre else -1
            self._centre = number

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this from now on."""
        self._budget = budget_bytes
        self._shrink()

    def __contains__(self, number: int) -> bool:
        return number in self._frames

    def get(self, number: int) -> VideoFrame | None:
        """The decoded frame of that number, if it was kept."""
        entry = self._frames.get(number)
        return entry[0] if entry else None

    def put(self, number: int, frame: VideoFrame) -> None:
        """Keep a frame, and let go of others as the budget asks."""
        if number in self._frames:
            return
        size = sum(plane.buffer_size for plane in frame.planes)
        self._frames[number] = (frame, size)
        self._bytes += size
        self._shrink()

    def _shrink(self) -> None:
        while self._bytes > self._budget and len(self._frames) > 1:
            # on either side of the one on show the furthest is the one at the end
            self._drop(max(min(self._frames), max(self._frames), key=self._distance))

    def room_towards(self, side: int) -> int:
        """How many frames after the one on show (before it, when ``side`` is negative) can all be kept.

        Half of what fits in the direction of travel and an eighth behind, so that making one side ready never
        pushes out the other.
        """
        if not self._frames:
            return 1
        fits = self._budget * len(self._frames) // max(1, self._bytes)
        return max(1, fits // (8 if side * self._direction < 0 else 2))

    @property
    def bytes(self) -> int:
        """What is kept now, in bytes."""
        return self._bytes

    def clear(self) -> None:
        """Let go of everything."""
        self._frames.clear()
        self._bytes = 0

    def _drop(self, number: int) -> None:
        _, size = self._frames.pop(number)
        self._bytes -= size

    def _distance(self, number: int) -> int:
        away = number - self._centre
        return abs(away) * (_BEHIND_COUNTS if away * self._direction < 0 else 1)
