"""From stop to stop: the film stands at each, and plays on to the next at the speed of the stop."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from analysis.values.film import FrameTimes
from analysis.values.narration import Narration, Stop
from analysis.values.time_map import TimeMap
from app.film.pane import FilmPane
from app.film.ticker import Ticker


class StopWalk(QObject):
    """Drives the clock of one film, or of two; the clock's time is that of the first.

    Signals:
        came(int): the stop of that place in the list is at hand; what it shows is to be shown.
    """

    came = Signal(int)

    def __init__(
        self,
        narration: Narration,
        ticker: Ticker,
        panes: tuple[FilmPane, ...],
        times: tuple[FrameTimes, ...],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self.narration = narration
        self._ticker, self._panes, self._times = ticker, panes, times
        self._place = -1
        self._goal: int | None = None
        ticker.playing_changed.connect(self._playing_changed)

    @property
    def place(self) -> int:
        """The place of the stop at hand in the list; -1 for none."""
        return self._place

    @property
    def stop(self) -> Stop | None:
        """The stop at hand."""
        stops = self.narration.stops
        return stops[self._place] if 0 <= self._place < len(stops) else None

    @Slot()
    def next(self) -> bool:
        """Play on to the next stop; on the way there, or where it lies earlier, go to it at once.

        False where the stop at hand is the last one.
        """
        last = self._place + 1 >= len(self.narration.stops)
        if self._goal is not None:
            self.go_to(self._goal)
        elif last:
            return False
        elif self._place < 0 or self._way() <= 0:
            self.go_to(self._place + 1)
        else:
            self._play_on()
        return True

    @Slot()
    def back(self) -> bool:
        """Back to the stop that the film left, else to the one before. False where there is none."""
        if self._goal is not None:
            self.go_to(self._place)
            return True
        if self._place <= 0:
            return False
        self.go_to(self._place - 1)
        return True

    def go_to(self, place: int) -> None:
        """Stand at a stop at once."""
        stop = self.narration.stops[place]
        self._goal = None
        self._ticker.pause()
        self._place = place
        at_s = self._time(0, stop.frame)
        if len(self._panes) > 1:
            self._panes[1].set_time_map(TimeMap.offset(self._beside(stop), at_s))
        self._ticker.clock.cover(0.0, float(self._times[0].seconds[-1]))
        self._ticker.seek(at_s)
        self.came.emit(place)

    def let_go(self) -> None:
        """The coach moves the film by hand: it stops nowhere by itself."""
        if self._goal is not None:
            self._goal = None
            self._ticker.pause()

    def _way(self) -> float:
        here, there = self.narration.stops[self._place : self._place + 2]
        return self._time(0, there.frame) - self._time(0, here.frame)

    def _play_on(self) -> None:
        here, there = self.narration.stops[self._place : self._place + 2]
        begin, end = self._time(0, here.frame), self._time(0, there.frame)
        if len(self._panes) > 1:
            first, last = self._beside(here), self._beside(there)
            knots = ((begin, first), (end, last)) if last > first else ((begin, first),)
            self._panes[1].set_time_map(TimeMap(knots))
        self._goal = self._place + 1
        self._ticker.clock.cover(begin, end)  # the clock itself ends at the stop: no frame behind it is shown
        self._ticker.set_speed(here.speed_after)
        self._ticker.play(1)

    @Slot(bool)
    def _playing_changed(self, playing: bool) -> None:
        if not playing and self._goal is not None:
            self.go_to(self._goal)

    def _time(self, film: int, frame: int) -> float:
        times = self._times[film]
        return times.at(min(int(frame), len(times) - 1))

    def _beside(self, stop: Stop) -> float:
        return self._time(1, 0 if stop.beside is None else stop.beside)
