"""A frame that an answer rests on is shown close by: the athlete, not the lane."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from app.bench import Bench
from app.film.mapping import ViewMapping
from app.film.pane import FilmPane
from app.film.tools.framing import framing

_STAYS_S = 0.25
"""So far from the frame the close view stays; then the athlete has run out of it (own)."""


class EvidenceZoom(QObject):
    """A view that the coach zoomed stays as large as it is. Else the whole picture comes back once the film
    is elsewhere.
    """

    def __init__(self, bench: Bench, pane: FilmPane, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._pane = bench, pane
        self._mine: ViewMapping | None = None
        self._frame = 0
        pane.frame_shown.connect(self._frame_shown)

    @Slot(int)
    def look_at(self, frame: int) -> None:
        """Show a frame, close by where it is known where the athlete is."""
        view, close = self._pane.view, self._close(frame)
        if close is not None and view.has_picture:
            if view.is_fitted or view.mapping == self._mine:
                self._frame, self._mine = frame, close
                view.frame_with(close)
            else:
                view.bring_into_view(*close.to_picture(view.width() / 2, view.height() / 2))
        self._pane.go_to(frame)

    def _close(self, frame: int) -> ViewMapping | None:
        run, facts, view = self._bench.run, self._bench.facts, self._pane.view
        if run is None or facts is None or view.whole is None:
            return None
        room = float(view.width()), float(view.height())
        return framing(run, self._bench.tracks, frame, facts.times.seconds, view.whole, room)

    @Slot()
    def _frame_shown(self) -> None:
        facts, shown = self._bench.facts, int(self._pane.shown)
        if self._mine is None or facts is None or shown != self._pane.wanted or shown >= facts.frames:
            return
        seconds = facts.times.seconds
        if self._pane.view.mapping != self._mine:
            self._mine = None  # the coach has another view now
        elif abs(float(seconds[shown] - seconds[self._frame])) > _STAYS_S:
            self._mine = None
            self._pane.view.fit()
