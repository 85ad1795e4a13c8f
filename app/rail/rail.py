"""The step rail: a slider over the run's frames that shows every contact and flight."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractSlider, QSizePolicy, QToolTip, QWidget

from analysis.values.film import FrameTimes
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import tr, tr_count
from app.rail.blocks import RailContent, rail_content
from app.rail.columns import Columns
from app.rail.edges import WHICH, Edge, block_at, edge_at, moved, reach
from app.rail.geometry import TimeScale
from app.rail.ink import Ink
from app.rail.painter import RailPainter
from app.theme.apply import current_theme
from app.theme.tokens import FOCUS_PX, Space
from app.words import MILLISECONDS, spoken

TEN = 10
_DRAG_STARTS_PX = 4.0
_ZOOM_STEP = 1.25
_WHEEL_NOTCH = 120.0

_STEPS = {
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_PageUp: -TEN,
    Qt.Key.Key_PageDown: TEN,
}
_REPAINTING = (
    QEvent.Type.FontChange,
    QEvent.Type.PaletteChange,
    QEvent.Type.StyleChange,
    QEvent.Type.ApplicationPaletteChange,
)


@dataclass(frozen=True)
class _Press:
    """The left button went down here; ``edge`` is what a drag would move."""

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


class StepRail(QAbstractSlider):
    """Time runs downwards; blocks are contacts, gaps are flights, the line is the frame that the film shows.

    Its value is the frame's number. Arrows step one frame, with Shift or as PageUp and PageDown ten; Home
    and End go to the run's ends; Return takes hold of the nearest edge, Ctrl with Up and Down moves it; plus,
    minus and 0 zoom.

    Signals:
        frame_requested(int): the coach asks for a frame; never emitted by ``set_frame``.
        footfall_selected(str): a footfall's block was taken hold of.
        edge_drag_started(str, str): footfall and "touchdown" or "toe_off".
        edge_dragged(str, str, int): the same and the frame under the edge, at every frame that it reaches.
        edge_dropped(str, str, int): once, at the end.
        edge_drag_cancelled(str, str): Escape; nothing is to be changed.

    """

    frame_requested = Signal(int)
    footfall_selected = Signal(str)
    edge_drag_started = Signal(str, str)
    edge_dragged = Signal(str, str, int)
    edge_dropped = Signal(str, str, int)
    edge_drag_cancelled = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._run: Run | None = None
        self._times: FrameTimes | None = None
        self._reading: Reading | None = None
        self._content: RailContent | None = None
        self._scale = TimeScale.fitted(0.0, 1.0, 0.0, 1.0)
        self._columns = Columns.of(self.font())
        self._press: _Press | None = None
        self._drag: _Drag | None = None
        self._selected: Edge | None = None
        self._hovered: Edge | None = None
        self._from_film = False
        self.setOrientation(Qt.Orientation.Vertical)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(tr("Step rail"))
        self.setRange(0, 0)
        self._describe()

    # what it shows

    def show_run(self, run: Run, times: FrameTimes, reading: Reading | None) -> None:
        """Show a run; a drag in progress goes on."""
        same = self._run is not None and self._run.id == run.id and self._times is times
        stretch = (run.first_frame, run.last_frame)
        same = same and self._run is not None and stretch == (self._run.first_frame, self._run.last_frame)
        self._run, self._times, self._reading = run, times, reading
        self._from_film = True
        self.setRange(run.first_frame, run.last_frame)
        self.setSingleStep(1)
        self.setPageStep(TEN)
        self._from_film = False
        zero = self._content.cells.time(0) if self._content else None
        self._lay_out()
        if not same or (self._content and zero != self._content.cells.time(0)):
            self.fit_all()
        self._describe()
        self.update()

    def clear(self) -> None:
        """Show no run."""
        self._run = self._times = self._reading = self._content = None
        self._press = self._drag = self._selected = self._hovered = None
        self._describe()
        self.update()

    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows. Emits nothing that asks the film for a frame."""
        if frame == self.value():
            return
        before = self._strip()
        self._from_film = True
        self.setValue(frame)
        self._from_film = False
        if self._content is not None:
            shown = self._scale.showing(self._content.cells.time(self.value()))
            if shown is not self._scale:
                self._scale = shown
                self.update()
        self.update(before)
        self.update(self._strip())
        self._describe()

    @property
    def selected_edge(self) -> Edge | None:
        """The edge that the keys move."""
        return self._selected

    def select(self, footfall_id: str, which: str = "touchdown") -> None:
        """Take hold of an edge; an unknown footfall lets go."""
        known = self._content is not None and self._content.block(footfall_id) is not None
        self._selected = Edge(footfall_id, WHICH[which == "toe_off"]) if known else None
        self.update()

    # zoom

    def fit_all(self) -> None:
        """Show the whole run."""
        if self._content is None:
            return
        cells = self._content.cells
        first, last = cells.start(cells.first), cells.time(cells.last)
        self._scale = TimeScale.fitted(first, max(last, first + 1e-3), *self._heights(), cells.shortest_s)
        self.update()

    def zoom_in(self) -> None:
        """Come closer, keeping the playhead where it is."""
        self._zoom(_ZOOM_STEP, self._playhead_y())

    def zoom_out(self) -> None:
        """Go further away, keeping the playhead where it is."""
        self._zoom(1 / _ZOOM_STEP, self._playhead_y())

    @property
    def scale(self) -> TimeScale:
        """Where times stand now."""
        return self._scale

    # Qt

    def sizeHint(self) -> QSize:
        return QSize(math.ceil(Columns.widest(self.font()).width), 480)

    def minimumSizeHint(self) -> QSize:
        return QSize(math.ceil(Columns.of(self.font()).width), 200)

    def sliderChange(self, change: QAbstractSlider.SliderChange) -> None:
        # Keys, assistive technology and setValue all end here; only the film's own word asks for nothing.
        if change == QAbstractSlider.SliderChange.SliderValueChange and not self._from_film:
            self.frame_requested.emit(self.value())
            self._describe()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = current_theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(event.rect())
        painter.fillRect(area, QColor(theme.surface))
        if self._content is None or not (self._content.blocks or self._content.events):
            self._paint_empty(painter, theme.muted)
        if self._content is not None:
            ink = Ink(painter, theme, self.font(), self._columns.mark, self._columns.line)
            self._paint_run(RailPainter(ink, self._columns, self._scale, self._content), area)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.focus), FOCUS_PX))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._columns = Columns.of(self.font(), self.width())
        self._scale = self._scale.resized(*self._heights())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in _REPAINTING:
            self._columns = Columns.of(self.font(), self.width())
            self._scale = self._scale.resized(*self._heights())
            self.updateGeometry()
            self.update()

    def hideEvent(self, event: QHideEvent) -> None:
        self._cancel()
        super().hideEvent(event)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), self._words_at(event.pos()), self)
            return True
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and self._drag is not None
            and event.key() == Qt.Key.Key_Escape
        ):
            event.accept()  # while dragging, Escape belongs to the drag
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton or self._content is None or self._run is None:
            event.ignore()
            return
        place = event.position()
        if place.y() < self._columns.header:
            return
        edge = edge_at(self._content, self._scale, self._columns, place.x(), place.y())
        block = block_at(self._content, self._scale, self._columns, place.x(), place.y())
        if edge is None and block is not None:
            edge_for_keys: Edge | None = Edge(block.footfall_id, "touchdown")
        else:
            edge_for_keys = edge
        edge_y = 0.0
        if edge is not None:
            held = self._content.block(edge.footfall_id)
            edge_y = self._scale.y((held.edge_s(edge.which) if held else None) or 0.0)
        self._press = _Press(place.y(), edge, edge_y, self.value())
        self._selected = edge_for_keys
        self._ask(self._frame_at(place.y()))
        if edge_for_keys is not None:
            self.footfall_selected.emit(edge_for_keys.footfall_id)
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        place = event.position()
        if self._content is None:
            return
        if self._press is None:
            self._hover(place)
        elif self._drag is not None:
            self._drag_to(self._edge_frame(place.y() - self._drag.offset))
        elif self._press.edge is None:
            self._ask(self._frame_at(place.y()))
        elif abs(place.y() - self._press.y) >= _DRAG_STARTS_PX:
            self._start_drag(self._press)
            self._drag_to(self._edge_frame(place.y() - (self._press.y - self._press.edge_y)))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        drag, self._drag, self._press = self._drag, None, None
        if drag is not None:
            self.edge_dropped.emit(drag.edge.footfall_id, drag.edge.which, drag.frame)
            self._lay_out()
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self._set_hovered(None)
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        notches = event.angleDelta().y() / _WHEEL_NOTCH
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._zoom(_ZOOM_STEP**notches, event.position().y())
        elif self._scale.zoom > 1.0:
            self._scale = self._scale.scrolled(-notches * 3 * self._columns.line)
            self.update()
        else:
            event.ignore()
            return
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        modifiers = event.modifiers()
        zooming = {
            Qt.Key.Key_Plus: self.zoom_in,
            Qt.Key.Key_Equal: self.zoom_in,
            Qt.Key.Key_Minus: self.zoom_out,
            Qt.Key.Key_0: self.fit_all,
        }
        if key == Qt.Key.Key_Escape and (self._drag is not None or self._selected is not None):
            self._cancel()
            self._selected = None
            self.update()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._select_nearest()
        elif modifiers & Qt.KeyboardModifier.ControlModifier and abs(_STEPS.get(key, 0)) == 1:
            self._nudge(_STEPS[key])
        elif key in _STEPS:
            factor = TEN if modifiers & Qt.KeyboardModifier.ShiftModifier and abs(_STEPS[key]) == 1 else 1
            self._ask(self.value() + factor * _STEPS[key])
        elif key == Qt.Key.Key_Home:
            self._ask(self.minimum())
        elif key == Qt.Key.Key_End:
            self._ask(self.maximum())
        elif key in zooming:
            zooming[key]()
        else:
            event.ignore()

    # the film and the edges

    def _ask(self, frame: int) -> None:
        """Ask the film for a frame, also for the one that it is thought to show."""
        frame = min(max(frame, self.minimum()), self.maximum())
        if frame == self.value():
            self.frame_requested.emit(frame)
        else:
            self.setValue(frame)

    def _start_drag(self, press: _Press) -> None:
        if press.edge is None or self._run is None:
            return
        frame = press.edge.frame(self._run)
        if frame is None:
            return
        self._drag = _Drag(press.edge, frame, press.y - press.edge_y, press.film_frame)
        self.edge_drag_started.emit(press.edge.footfall_id, press.edge.which)
        self._ask(frame)

    def _drag_to(self, frame: int) -> None:
        drag = self._drag
        if drag is None or self._run is None:
            return
        low, high = reach(self._run, drag.edge)
        frame = min(max(frame, low), high)
        if frame == drag.frame:
            return
        self._drag = _Drag(drag.edge, frame, drag.offset, drag.film_frame)
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
            self._select_nearest()
        edge = self._selected
        if edge is None or self._run is None or self._drag is not None:
            return
        frame = edge.frame(self._run)
        if frame is None:
            return
        low, high = reach(self._run, edge)
        wanted = min(max(frame + frames, low), high)
        if wanted == frame:
            return
        self.edge_drag_started.emit(edge.footfall_id, edge.which)
        self._ask(wanted)
        self.edge_dragged.emit(edge.footfall_id, edge.which, wanted)
        self.edge_dropped.emit(edge.footfall_id, edge.which, wanted)

    def _select_nearest(self) -> None:
        if self._run is None:
            return
        edges = [Edge(footfall.id, which) for footfall in self._run.footfalls for which in WHICH]
        marked = [
            (abs(frame - self.value()), edge)
            for edge in edges
            if (frame := edge.frame(self._run)) is not None
        ]
        if not marked:
            return
        self._selected = min(marked, key=_distance)[1]
        frame = self._selected.frame(self._run)
        if frame is not None:
            self._ask(frame)
        self.footfall_selected.emit(self._selected.footfall_id)
        self.update()

    def _hover(self, place: QPointF) -> None:
        inside = self._content is not None and place.y() >= self._columns.header
        edge = None
        if inside and self._content is not None:
            edge = edge_at(self._content, self._scale, self._columns, place.x(), place.y())
        self._set_hovered(edge)

    def _set_hovered(self, edge: Edge | None) -> None:
        if edge == self._hovered:
            return
        self._hovered = edge
        self.setCursor(Qt.CursorShape.ArrowCursor if edge is None else Qt.CursorShape.SplitVCursor)
        self.update()

    # where things are

    def _lay_out(self) -> None:
        if self._run is None or self._times is None:
            return
        run = moved(self._run, self._drag.edge, self._drag.frame) if self._drag else self._run
        self._content = rail_content(run, self._times, self._reading)

    def _heights(self) -> tuple[float, float]:
        half_line = self._columns.line / 2 + Space.TIGHT
        return self._columns.header + half_line, self.height() - half_line

    def _frame_at(self, y: float) -> int:
        return self._content.cells.frame_at(self._scale.time(y)) if self._content else self.value()

    def _edge_frame(self, y: float) -> int:
        return self._content.cells.edge_at(self._scale.time(y)) if self._content else self.value()

    def _playhead_y(self) -> float:
        return self._scale.y(self._content.cells.time(self.value())) if self._content else 0.0

    def _strip(self) -> QRect:
        """What the playhead covers, and the axis' figures that make room for it."""
        half = round(self._columns.line * 1.5) + 3
        return QRect(0, round(self._playhead_y()) - half, self.width(), 2 * half)

    def _zoom(self, factor: float, y: float) -> None:
        self._scale = self._scale.zoomed(factor, y)
        self.update()

    # words

    def _describe(self) -> None:
        if self._content is None:
            self.setAccessibleDescription(tr("No run. Open a film to see its steps."))
            return
        frame = self.value()
        words = tr("Frame {frame}, {time} s.").format(
            frame=frame, time=f"{self._content.cells.time(frame):.3f}"
        )
        event = self._content.nearest_event(frame)
        if event is None:
            words += " " + tr("No event is marked yet.")
        elif event.frame == frame:
            words += " " + tr("On it: {event}.").format(event=event.words)
        else:
            count = abs(event.frame - frame)
            later = tr_count("{count} frame on: {event}.", "{count} frames on: {event}.", count)
            earlier = tr_count("{count} frame back: {event}.", "{count} frames back: {event}.", count)
            words += " " + (later if event.frame > frame else earlier).format(count=count, event=event.words)
        self.setAccessibleDescription(words)

    def _words_at(self, place: QPoint) -> str:
        if self._content is None or place.y() < self._columns.header:
            return ""
        time_s = self._scale.time(place.y())
        for block in self._content.blocks:
            column = self._columns.number_x(block.track), self._columns.track_x(block.track)
            across = min(column) <= place.x() <= max(column) + max(self._columns.number, self._columns.track)
            ends = [end for end in (block.top_s, block.bottom_s) if end is not None]
            if across and ends and min(ends) <= time_s <= max(ends):
                words = spoken(block.name, block.number, MILLISECONDS) if block.number else block.name
                return words + (f"\n{block.shift.sentence}" if block.shift else "")
        for gap in self._content.gaps:
            if gap.top_s <= time_s <= gap.bottom_s:
                words = spoken(gap.name, gap.number, MILLISECONDS)
                return words + (f"\n{gap.shift.sentence}" if gap.shift else "")
        return ""

    def _paint_run(self, rail: RailPainter, area: QRectF) -> None:
        theme = rail.theme
        rail.painter.save()
        time_s = rail.content.cells.time(self.value())
        below = QRectF(self.rect()).adjusted(0, self._columns.header, 0, 0)
        rail.painter.setClipRect(below, Qt.ClipOperation.IntersectClip)
        if rail.content.blocks:
            rail.ground(area, time_s)
        rail.playhead(time_s, self.width(), focused=self.hasFocus())
        rail.numbers(area)
        for edge, colour in ((self._hovered, theme.text), (self._selected, theme.accent)):
            if edge is not None:
                rail.edge(edge, colour)
        rail.scroll_mark(self.width() - 1.0)
        rail.painter.restore()
        if area.top() < self._columns.header:
            rail.header(self.width())

    def _paint_empty(self, painter: QPainter, colour: str) -> None:
        words = (
            tr("Open a film to see its steps.")
            if self._content is None
            else tr("Go to the frame in which a foot first touches the ground and mark the touchdown.")
        )
        box = QRectF(self.rect()).adjusted(Space.PAGE, self._columns.header, -Space.PAGE, 0)
        painter.setPen(QColor(colour))
        painter.setFont(self.font())
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), words)


def _distance(candidate: tuple[int, Edge]) -> int:
    return candidate[0]
