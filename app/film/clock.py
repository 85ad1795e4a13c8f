"""The master time of what is on show. Panes map it to frames of their own; they never drive each other."""

from __future__ import annotations

import time
from collections.abc import Callable

SLOW_SPEEDS = (0.1, 0.25, 0.5)
"""Shares of real capture time that the coach chooses between."""

FULL_SPEED = 1.0


class Clock:
    """Capture time in s that stands, runs forwards or runs backwards at a share of real time.

    It knows no frames: whoever shows a film asks for the time and shows the last frame at or before it, so
    that playing never slows down. ``first_s``, ``last_s``: times of the first and the last frame; there
    playing ends. ``now``: seconds that only rise; tests give their own.
    """

    def __init__(
        self, first_s: float = 0.0, last_s: float = 0.0, now: Callable[[], float] = time.perf_counter
    ) -> None:
        self._now = now
        self._first, self._last = first_s, last_s
        self._speed = SLOW_SPEEDS[1]
        self._slow = SLOW_SPEEDS[1]
        self._direction = 1
        self._playing = False
        self._loop: tuple[float, float] | None = None
        self._time = first_s  # at the moment _since while playing, else now
        self._since = 0.0

    def cover(self, first_s: float, last_s: float) -> None:
        """Take the times of another film; the clock stands at its first frame, without a loop."""
        self._playing, self._loop = False, None
        self._first, self._last = first_s, last_s
        self._time = first_s

    @property
    def time_s(self) -> float:
        """The master time in s."""
        if not self._playing:
            return self._time
        run = self._time + (self._now() - self._since) * self._speed * self._direction
        if self._loop is not None:
            begin, end = self._loop
            return begin + (run - begin) % (end - begin)
        return min(max(run, self._first), self._last)

    @property
    def playing(self) -> bool:
        """Whether the time runs; it stops by itself at either end of the film."""
        if self._playing and self._loop is None:
            end = self._last if self._direction > 0 else self._first
            if self.time_s == end:
                self._time, self._playing = end, False
        return self._playing

    @property
    def direction(self) -> int:
        """1 forwards, -1 backwards."""
        return self._direction

    @property
    def speed(self) -> float:
        """Share of real capture time at which it plays."""
        return self._speed

    @property
    def loop(self) -> tuple[float, float] | None:
        """Begin and end in s of the stretch that repeats, if one does."""
        return self._loop

    def play(self, direction: int | None = None) -> None:
        """Run, in the direction given or in the last one; from the other end where nothing is to come."""
        self._settle()
        if direction is not None:
            self._direction = 1 if direction > 0 else -1
        end, other = (self._last, self._first) if self._direction > 0 else (self._first, self._last)
        if self._loop is not None:
            self._time = self._into_loop(self._time)
        elif self._time == end:
            self._time = other
        self._playing = self._loop is not None or self._last > self._first

    def pause(self) -> None:
        """Stand where it is now."""
        self._settle()
        self._playing = False

    def toggle(self) -> None:
        """Play where it stands, stand where it plays."""
        if self.playing:
            self.pause()
        else:
            self.play()

    def seek(self, time_s: float) -> None:
        """Go to a time within the film; playing goes on from there."""
        self._time = min(max(time_s, self._first), self._last)
        self._since = self._now()

    def set_speed(self, speed: float) -> None:
        """Play at a share of real time. Raises ValueError for a share that is not above 0."""
        if not speed > 0:
            raise ValueError(f"a speed is above 0, not {speed}")
        self._settle()
        self._speed = speed
        if speed < FULL_SPEED:
            self._slow = speed

    def toggle_full_speed(self) -> None:
        """From the slow speed to full speed, and back to the slow speed used last."""
        self.set_speed(self._slow if self._speed >= FULL_SPEED else FULL_SPEED)

    def repeat(self, begin_s: float, end_s: float) -> None:
        """Repeat a stretch: before ``begin_s`` comes ``end_s``. Its last frame is shown as long as the others
        when ``end_s`` is the time of the frame after it. Raises ValueError for a stretch without length.
        """
        if not end_s > begin_s:
            raise ValueError(f"a stretch ends after it begins: {begin_s} to {end_s}")
        self._settle()
        self._loop = (begin_s, end_s)
        self._time = self._into_loop(self._time)

    def stop_repeating(self) -> None:
        """Leave the loop; playing goes on from where it is."""
        self._settle()
        self._loop = None
        self._time = min(max(self._time, self._first), self._last)

    def _settle(self) -> None:
        """Take the present as the moment from which time is reckoned."""
        self._time = self.time_s
        self._since = self._now()

    def _into_loop(self, time_s: float) -> float:
        assert self._loop is not None
        begin, end = self._loop
        if begin <= time_s < end:
            return time_s
        return begin if self._direction > 0 else end
