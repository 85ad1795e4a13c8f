"""How well playing keeps up with the clock."""

from __future__ import annotations


class DropCount:
    """Counts the ticks whose frame was not on show before the next tick.

    At each tick say which frame is ``due``; when a frame is on show say so. Frames that no tick asks for,
    since the film has more of them than the screen can show, are not drops.
    """

    def __init__(self) -> None:
        self._due: int | None = None
        self._shown: int | None = None
        self.ticks = 0
        self.dropped = 0

    def begin(self) -> None:
        """Playing begins: count anew."""
        self._due = None
        self.ticks = self.dropped = 0

    def due(self, frame: int) -> None:
        """A tick asks for a frame; the one before is judged."""
        if self._due is not None:
            self.ticks += 1
            self.dropped += self._shown != self._due
        self._due = frame

    def shown(self, frame: int) -> None:
        """A frame is on show now."""
        self._shown = frame

    @property
    def kept_share(self) -> float:
        """Share of ticks whose frame came in time; 1 before the first."""
        return 1.0 - self.dropped / self.ticks if self.ticks else 1.0
