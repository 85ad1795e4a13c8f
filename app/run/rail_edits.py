"""What a rail's edges do: the film follows a drag, and its end is one edit."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from app.bench import Bench
from app.film.pane import FilmPane
from app.marking import events as tagging
from app.marking.events import EventRef
from app.rail.rail import StepRail


class RailEdits(QObject):
    """Connects a rail to its pane and to the run at hand, which is the one that the rail shows.

    Signals:
        settled(): a drag has ended; the rail shall show the run as it stands.
    """

    settled = Signal()

    def __init__(self, bench: Bench, rail: StepRail, pane: FilmPane, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._rail, self._pane = bench, rail, pane
        rail.frame_requested.connect(pane.go_to)
        rail.footfall_selected.connect(self._footfall_selected)
        rail.edge_dragged.connect(self._edge_dragged)
        rail.edge_dropped.connect(self._edge_dropped)
        rail.edge_drag_cancelled.connect(self._edge_cancelled)

    @Slot(str)
    def _footfall_selected(self, footfall_id: str) -> None:
        edge = self._rail.selected_edge
        self._bench.select(EventRef(footfall_id, edge.which if edge is not None else "touchdown"))

    @Slot(str, str, int)
    def _edge_dragged(self, footfall_id: str, which: str, frame: int) -> None:
        self._pane.go_to(frame)

    @Slot(str, str, int)
    def _edge_dropped(self, footfall_id: str, which: str, frame: int) -> None:
        run = self._bench.run
        if run is not None:
            ref = EventRef(footfall_id, which)
            self._bench.attempt(lambda: tagging.move_event(run, ref, frame))
            self._bench.select(ref)
        self.settled.emit()

    @Slot(str, str)
    def _edge_cancelled(self, footfall_id: str, which: str) -> None:
        run = self._bench.run
        frame = tagging.frame_of(run, EventRef(footfall_id, which)) if run is not None else None
        if frame is not None:
            self._pane.go_to(frame)
