"""The step rail under the hand: clicks and keys move the film, blocks' edges are dragged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractSlider, QWidget

from analysis.values.run import FOOTFALL_EVENTS, START_EVENTS, Run
from app.marking.events import EventRef
from app.marking.in_hand import draft_in_hand
from app.rail.edges import Edge, edge_at, moved, nearest_edge, reach
from app.rail.view import TEN, RailView

DRAG_STARTS_PX = 3.0
_WHEEL_NOTCH = 120.0
_WHEEL_LINES = 3

_STEPS = {
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_Right: 1,
}


@dataclass(frozen=True)
class _Press:
    """The left button went down at ``y``; ``edge``, which stands at ``edge_y``, is what a drag would move."""

    y: float
    edge: Edge | None
    edge_y: float
    film_frame: int


@dataclass(frozen=True)
class _Drag:
    """An edge on its way; ``offset`` keeps it as far from the pointer as it was."""

    edge: Edge
    frame: int
    offset: float
    film_frame: int


class StepRail(RailView):
    """Time runs downwards; blocks are contacts, gaps are flights, the line is the frame that the film shows.

    Its value is the frame's number. Arrows step one frame, with Shift or as PageUp and PageDown ten; Home
    and End go to the run's ends; Return takes hold of the nearest edge, Ctrl with the arrows moves it; plus,
    minus and 0 zoom, and so does the wheel with Ctrl.

    Signals:
        frame_requested(int): the coach asks for a frame; never emitted by ``set_frame``.
        footfall_selected(str): a footfall's block was taken hold of; ``selected_edge`` says where.
        edge_drag_started(str, str): footfall and "touchdown" or "toe_off".
        edge_dragged(str, str, int): the same and the frame under the edge, at every frame that it reaches;
            that frame was requested just before.
        edge_dropped(str, str, int): once, at the end, also where the edge is back where it was.
        edge_drag_cancelled(str, str): Escape; nothing is to be changed.
        draft_confirmed(): Return while the edge of a draft is held and near what is shown.

    """

    frame_requested = Signal(int)
    footfall_selected = Signal(str)
    edge_drag_started = Signal(str, str)
    edge_dragged = Signal(str, str, int)
    edge_dropped = Signal(str, str, int)
    edge_drag_cancelled = Signal(str, str)
    draft_confirmed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._press: _Press | None = None
        self._drag: _Drag | None = None
        self.setMouseTracking(True)

    @property
    def selected_edge(self) -> Edge | None:
        """The edge that the keys move."""
        return self._selected

    def select(self, footfall_id: str, which: str = "touchdown") -> None:
        """Take hold of an edge; an unknown footfall lets go."""
        known = self._content is not None and self._content.block(footfall_id, which) is not None
        self._selected = Edge(footfall_id, which) if known else None
        self.update()

    def clear(self) -> None:
        """Show no run."""
        self._press = self._drag = None
        super().clear()

    # Qt

    def sliderChange(self, change: QAbstractSlider.SliderChange) -> None:
        super().sliderChange(change)
        # Keys, assistive technology and setValue all end here; only the film's own word asks for nothing.
        if change == QAbstractSlider.SliderChange.SliderValueChange and not self._from_film:
            self.frame_requested.emit(self.value())

    def hideEvent(self, event: QHideEvent) -> None:
        self._cancel()
        super().hideEvent(event)

    def event(self, event: QEvent) -> bool:
        overriding = event.type() == QEvent.Type.ShortcutOverride and self._drag is not None
        if overriding and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            event.accept()  # while dragging, Escape belongs to the drag
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        place = event.position()
        if event.button() != Qt.MouseButton.LeftButton or self._content is None:
            event.ignore()
            return
        if place.y() < self._columns.header:
            return
        edge = edge_at(self._content, self._scale, self._columns, place.x(), place.y())
        held = edge or nearest_edge(self._content, self._scale, self._columns, place.x(), place.y())
        self._press = _Press(place.y(), edge, self._edge_y(edge), self.value())
        self._selected = held
        self._ask(self._content.cells.frame_at(self._scale.time(place.y())))
        if held is not None:
            self.footfall_selected.emit(held.footfall_id)
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        place = event.position()
        if self._content is None:
            return
        if self._press is None:
            inside = place.y() >= self._columns.header
            edge = (
                edge_at(self._content, self._scale, self._columns, place.x(), place.y()) if inside else None
            )
            self._set_hovered(edge)
        elif self._press.edge is None:
            self._ask(self._content.cells.frame_at(self._scale.time(place.y())))
        elif self._drag is not None or abs(place.y() - self._press.y) >= DRAG_STARTS_PX:
            if self._drag is None:
                self._start_drag(self._press, self._press.edge)
            offset = self._drag.offset if self._drag else 0.0
            self._drag_to(self._content.cells.edge_at(self._scale.time(place.y() - offset)))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        drag, self._drag, self._press = self._drag, None, None
        if drag is not None:
            self.edge_dropped.emit(drag.edge.footfall_id, drag.edge.which, drag.frame)
            self._lay_out()  # from the run, whether the drop was taken or not
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self._set_hovered(None)
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        notches = event.angleDelta().y() / _WHEEL_NOTCH
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._zoom(notches, event.position().y())
        elif self._scale.zoom > 1.0:
            self._is_fitted = False
            self._set_scale(self._scale.scrolled(-notches * _WHEEL_LINES * self._columns.line))
        else:
            event.ignore()
            return
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        acts = {
            Qt.Key.Key_Return: self._hold_nearest,
            Qt.Key.Key_Enter: self._hold_nearest,
            Qt.Key.Key_Plus: self.zoom_in,
            Qt.Key.Key_Equal: self.zoom_in,
            Qt.Key.Key_Minus: self.zoom_out,
            Qt.Key.Key_0: self.fit_all,
        }
        frames = {
            Qt.Key.Key_PageUp: self.value() - TEN,
            Qt.Key.Key_PageDown: self.value() + TEN,
            Qt.Key.Key_Home: self.minimum(),
            Qt.Key.Key_End: self.maximum(),
        }
        if key in _STEPS and modifiers & Qt.KeyboardModifier.ControlModifier:
            self._nudge(_STEPS[key])
        elif key in _STEPS:
            tens = modifiers & Qt.KeyboardModifier.ShiftModifier
            self._ask(self.value() + _STEPS[key] * (TEN if tens else 1))
        elif key in frames:
            self._ask(frames[key])
        elif key in acts:
            acts[key]()
        elif key == Qt.Key.Key_Escape and (self._drag is not None or self._selected is not None):
            self._cancel()
            self._selected = None
            self.update()
        else:
            event.ignore()

    # the film and the edges

    def _run_to_show(self) -> Run | None:
        if self._run is None or self._drag is None:
            return self._run
        return moved(self._run, self._drag.edge, self._drag.frame)

    def _ask(self, frame: int) -> None:
        """Ask the film for a frame, also for the one that it is thought to show."""
        frame = min(max(frame, self.minimum()), self.maximum())
        if frame == self.value():
            self.frame_requested.emit(frame)
        else:
            self.setValue(frame)

    def _edge_y(self, edge: Edge | None) -> float:
        block = self._content.block(edge.footfall_id, edge.which) if edge and self._content else None
        time_s = block.edge_s(edge.which) if block and edge else None
        return self._scale.y(time_s) if time_s is not None else 0.0

    def _start_drag(self, press: _Press, edge: Edge) -> None:
        frame = edge.frame(self._run) if self._run is not None else None
        if frame is None:
            return
        self._drag = _Drag(edge, frame, press.y - press.edge_y, press.film_frame)
        self.edge_drag_started.emit(edge.footfall_id, edge.which)
        self._ask(frame)

    def _drag_to(self, frame: int) -> None:
        drag = self._drag
        if drag is None or self._run is None:
            return
        low, high = reach(self._run, drag.edge)
        frame = min(max(frame, low), high)
        if frame == drag.frame:
            return
        self._drag = replace(drag, frame=frame)
        self._lay_out()
        self._ask(frame)
        self.edge_dragged.emit(drag.edge.footfall_id, drag.edge.which, frame)
        self.update()

    def _cancel(self) -> None:
        drag, self._drag, self._press = self._drag, None, None
        if drag is None:
            return
        self._lay_out()
        self.edge_drag_cancelled.emit(drag.edge.footfall_id, drag.edge.which)
        self._ask(drag.film_frame)
        self.update()

    def _nudge(self, frames: int) -> None:
        """Move the selected edge by the keys: a drag of one frame."""
        if self._selected is None:
            self._hold_nearest()
        edge = self._selected
        frame = edge.frame(self._run) if edge is not None and self._run is not None else None
        if edge is None or frame is None or self._run is None or self._drag is not None:
            return
        low, high = reach(self._run, edge)
        wanted = min(max(frame + frames, low), high)
        if wanted == frame:
            return
        self.edge_drag_started.emit(edge.footfall_id, edge.which)
        self._ask(wanted)
        self.edge_dragged.emit(edge.footfall_id, edge.which, wanted)
        self.edge_dropped.emit(edge.footfall_id, edge.which, wanted)

    def _hold_nearest(self) -> None:
        """Take hold of the edge nearest to the playhead, and go there."""
        if self._run is None:
            return
        if self._on_held_draft():
            self.draft_confirmed.emit()
            return
        edges = [Edge(f.id, which) for f in self._run.footfalls for which in FOOTFALL_EVENTS]
        edges += [Edge("", which) for which in START_EVENTS]
        frames = {edge: frame for edge in edges if (frame := edge.frame(self._run)) is not None}
        here = self.value()
        nearest = min(frames, key=lambda edge: abs(frames[edge] - here), default=None)
        if nearest is None:
            return
        self._selected = nearest
        self._ask(frames[nearest])
        self.footfall_selected.emit(nearest.footfall_id)
        self.update()

    def _on_held_draft(self) -> bool:
        edge = self._selected
        if edge is None or self._run is None or self._times is None:
            return False
        held = EventRef(edge.footfall_id, edge.which)
        return draft_in_hand(self._run, held, self.value(), self._times) is not None

    def _set_hovered(self, edge: Edge | None) -> None:
        if edge == self._hovered:
            return
        self._hovered = edge
        self.setCursor(Qt.CursorShape.ArrowCursor if edge is None else Qt.CursorShape.SplitVCursor)
        self.update()
