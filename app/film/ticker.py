"""Drives the clock at the pace of the screen."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot

from app.film.clock import Clock

TICK_MS = 16
"""About the time between two pictures of a 60 Hz screen; what is shown comes from the clock alone."""


class Ticker(QObject):
    """Says the master time: at every tick while the clock runs, and whenever it is changed by hand.

    Signals: ``moved`` the master time in s; ``playing_changed`` whether the clock runs; ``speed_changed`` the
    share of real time. All acts on the clock go through here, so that the timer runs only while it is needed.
    """

    moved = Signal(float)
    playing_changed = Signal(bool)
    speed_changed = Signal(float)

    def __init__(self, clock: Clock, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.clock = clock
        self._said_playing = False
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self.tick)

    def play(self, direction: int | None = None) -> None:
        """Run forwards (1), backwards (-1) or as before."""
        self.clock.play(direction)
        self._say()

    def pause(self) -> None:
        """Stand where the clock is now."""
        self.clock.pause()
        self._say()

    def toggle(self) -> None:
        """Play where it stands, stand where it plays."""
        self.clock.toggle()
        self._say()

    def seek(self, time_s: float) -> None:
        """Go to a time; playing goes on from there."""
        self.clock.seek(time_s)
        self._say()

    def cover(self, first_s: float, last_s: float) -> None:
        """Take the times of another film and stand at its first frame."""
        self.clock.cover(first_s, last_s)
        self._say()

    def repeat(self, begin_s: float, end_s: float) -> None:
        """Repeat a stretch. Raises ValueError for a stretch without length."""
        self.clock.repeat(begin_s, end_s)
        self._say()

    def stop_repeating(self) -> None:
        """Leave the loop."""
        self.clock.stop_repeating()
        self._say()

    def set_speed(self, speed: float) -> None:
        """Play at a share of real time. Raises ValueError for a share that is not above 0."""
        self.clock.set_speed(speed)
        self.speed_changed.emit(speed)

    def toggle_full_speed(self) -> None:
        """From the slow speed to full speed and back."""
        self.clock.toggle_full_speed()
        self.speed_changed.emit(self.clock.speed)

    def shutdown(self) -> None:
        """Stand still for good."""
        self.clock.pause()
        self._timer.stop()

    @Slot()
    def tick(self) -> None:
        """Say what the clock says now."""
        self._say()

    def _say(self) -> None:
        playing = self.clock.playing
        if playing != self._timer.isActive():
            if playing:
                self._timer.start()
            else:
                self._timer.stop()
        self.moved.emit(self.clock.time_s)
        if playing != self._said_playing:
            self._said_playing = playing
            self.playing_changed.emit(playing)
