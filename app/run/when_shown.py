"""Acts on the picture wait until the frame that they are meant for is on show."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Slot

from analysis.values.words import tr
from app.bench import Bench
from app.film.pane import FilmPane


class WhenShown(QObject):
    """Holds one act until the pane in hand shows the frame that it was asked for."""

    def __init__(self, bench: Bench, pane: FilmPane, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._pane = pane
        self._waiting: tuple[int, Callable[[], None]] | None = None
        bench.frame_changed.connect(self._frame_came)

    def work_on(self, pane: FilmPane) -> None:
        """Take another pane in hand."""
        self._pane = pane

    def forget(self) -> None:
        """Drop what waits."""
        self._waiting = None

    def ready(self, again: Callable[[], None]) -> bool:
        """Whether the frame asked for is on show; else ``again`` is done as soon as it is."""
        if self._pane.film is None:
            self._bench.said.emit(tr("The film is not there. File, Find the film says where it lies now."))
            return False
        if self._pane.shown < 0:
            self._bench.said.emit(tr("Wait for the picture: an event is tagged on the frame that is shown."))
            return False
        if self._pane.ticker.clock.playing or self._pane.shown == self._pane.wanted:
            return True
        self._waiting = (self._pane.wanted, again)
        return False

    @Slot(int)
    def _frame_came(self, frame: int) -> None:
        if self._waiting is not None and self._pane.shown == self._pane.wanted:
            (wanted, act), self._waiting = self._waiting, None
            if wanted == frame:
                act()
