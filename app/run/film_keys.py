"""What the keys of the film do: step, play, loop, go to an event, zoom."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.film.transport import SPEEDS
from app.marking import events as tagging


class FilmKeys(QObject):
    """Drives the pane in hand."""

    def __init__(self, bench: Bench, pane: FilmPane, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._pane = pane
        self._loop_from: int | None = None
        for name, act in {
            "step_back": self._step_back,
            "step_forward": self._step_forward,
            "ten_back": self._ten_back,
            "ten_forward": self._ten_forward,
            "play": self._play,
            "reverse": self._reverse,
            "slower": self._slower,
            "faster": self._faster,
            "full_speed": self._full_speed,
            "loop": self._loop,
            "replay": self._replay,
            "go_first_movement": self._go_first_movement,
            "next_event": self._next_event,
            "previous_event": self._previous_event,
            "fit": self._fit,
            "zoom_in": self._zoom_in,
            "zoom_out": self._zoom_out,
        }.items():
            actions.do(name, act)

    def work_on(self, pane: FilmPane) -> None:
        """Take another pane in hand."""
        self._pane = pane

    def forget(self) -> None:
        """Drop the loop that was begun."""
        self._loop_from = None

    @Slot()
    def _step_back(self) -> None:
        self._pane.step(-1)

    @Slot()
    def _step_forward(self) -> None:
        self._pane.step(1)

    @Slot()
    def _ten_back(self) -> None:
        self._pane.step(-10)

    @Slot()
    def _ten_forward(self) -> None:
        self._pane.step(10)

    @Slot()
    def _play(self) -> None:
        ticker = self._pane.ticker
        if ticker.clock.playing:
            ticker.pause()
        else:
            ticker.play(1)

    @Slot()
    def _reverse(self) -> None:
        ticker = self._pane.ticker
        if ticker.clock.playing and ticker.clock.direction < 0:
            ticker.pause()
        else:
            ticker.play(-1)

    @Slot()
    def _slower(self) -> None:
        slower = [share for share in SPEEDS if share < self._pane.ticker.clock.speed]
        self._pane.ticker.set_speed(slower[-1] if slower else SPEEDS[0])

    @Slot()
    def _faster(self) -> None:
        faster = [share for share in SPEEDS if share > self._pane.ticker.clock.speed]
        self._pane.ticker.set_speed(faster[0] if faster else SPEEDS[-1])

    @Slot()
    def _full_speed(self) -> None:
        self._pane.ticker.toggle_full_speed()

    @Slot()
    def _loop(self) -> None:
        film, ticker = self._pane.film, self._pane.ticker
        if film is None:
            return
        if ticker.clock.loop is not None:
            ticker.stop_repeating()
            self._bench.said.emit(tr("The loop is off."))
        elif self._loop_from is None:
            self._loop_from = self._pane.wanted
            self._bench.said.emit(tr("The loop begins here. Go to its end and press the key again."))
        else:
            self._loop_between(self._loop_from, self._pane.wanted)
            self._loop_from = None

    def _loop_between(self, first: int, last: int) -> None:
        film = self._pane.film
        first, last = sorted((first, last))
        if film is None or first == last:
            self._bench.said.emit(
                tr("A loop needs more than one frame. Press the key at its begin and at its end.")
            )
            return
        self._pane.repeat(first, last)
        self._pane.ticker.play(1)
        self._bench.said.emit(
            tr("Frames {first} to {last} repeat. The same key ends it.").format(first=first, last=last)
        )

    @Slot()
    def _replay(self) -> None:
        run = self._bench.run
        if run is None:
            return
        downs = [
            f.touchdown for f in run.footfalls if f.touchdown is not None and f.touchdown <= self._bench.frame
        ]
        if not downs:
            self._bench.said.emit(tr("Two steps are replayed from their touchdowns. Tag touchdowns first."))
            return
        end = self._bench.frame
        begin = downs[-3] if len(downs) > 2 else (run.start.first_movement or run.first_frame)
        self._pane.go_to(begin)
        self._loop_between(begin, max(end, begin + 1))

    @Slot()
    def _go_first_movement(self) -> None:
        run = self._bench.run
        if run is not None:
            first = run.start.first_movement
            self._pane.go_to(run.first_frame if first is None else first)

    @Slot()
    def _next_event(self) -> None:
        self._go_event(1)

    @Slot()
    def _previous_event(self) -> None:
        self._go_event(-1)

    def _go_event(self, direction: int) -> None:
        run = self._bench.run
        if run is None:
            return
        here = self._pane.wanted
        all_events = tagging.events(run)
        there = [e for e in all_events if (e[0] - here) * direction > 0]
        if not there:
            self._bench.said.emit(
                tr("No event further on.") if direction > 0 else tr("No event before this one.")
            )
            return
        frame, ref = there[0] if direction > 0 else there[-1]
        self._pane.go_to(frame)
        self._bench.select(ref)

    @Slot()
    def _fit(self) -> None:
        self._pane.view.fit()

    @Slot()
    def _zoom_in(self) -> None:
        self._pane.view.zoom(1.5)

    @Slot()
    def _zoom_out(self) -> None:
        self._pane.view.zoom(1 / 1.5)
