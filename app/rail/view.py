"""The rail as it is seen: what it shows, how it is zoomed, how it is painted."""

from __future__ import annotations

import math

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractSlider, QSizePolicy, QToolTip, QWidget

from analysis.report.rail_blocks import RailContent, rail_content
from analysis.report.rail_scale import TimeScale
from analysis.values.film import FrameTimes
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import tr
from app.rail import sentences
from app.rail.columns import Columns
from app.rail.edges import Edge
from app.rail.ink import Ink
from app.rail.painter import RailPainter
from app.theme.apply import current_theme
from app.theme.tokens import FOCUS_PX, Space, Theme

TEN = 10
_ZOOM_STEP = 1.25
_AROUND_EVENTS_S = 0.4
_MOST = 0.75

_REPAINTING = (
    QEvent.Type.FontChange,
    QEvent.Type.PaletteChange,
    QEvent.Type.StyleChange,
    QEvent.Type.ApplicationPaletteChange,
)


class RailView(QAbstractSlider):
    """Shows a run on a time axis that runs down; its value is the number of the frame that the film shows.

    Signals:
        scale_changed(): the axis shows other times, by the rail's own doing.
    """

    scale_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._run: Run | None = None
        self._times: FrameTimes | None = None
        self._reading: Reading | None = None
        self._content: RailContent | None = None
        self._scale = TimeScale.fitted(0.0, 1.0, 0.0, 1.0)
        self._columns = Columns.of(self.font())
        self._selected: Edge | None = None
        self._hovered: Edge | None = None
        self._from_film = False
        self._strip_of_playhead = QRect()
        self._is_fitted = True
        self._reach: tuple[float, float] | None = None
        self.setOrientation(Qt.Orientation.Vertical)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(tr("Step rail"))
        self.setWhatsThis(sentences.legend())
        self.setSingleStep(1)
        self.setPageStep(TEN)
        self.setRange(0, 0)
        self._describe()

    def show_run(self, run: Run, times: FrameTimes, reading: Reading | None) -> None:
        """Show a run. Until the coach zooms or scrolls, the axis covers the events tagged so far."""
        before = self._content.cells if self._content else None
        self._run, self._times, self._reading = run, times, reading
        self._from_film = True
        self.setRange(run.first_frame, run.last_frame)
        self._from_film = False
        self._lay_out()
        if self._content is not None:
            if before is None or not before.alike(self._content.cells):
                self._is_fitted = True
            if self._is_fitted:
                self._set_scale(self._all().covering(*self._eventful()))
        self._describe()
        self.update()

    def clear(self) -> None:
        """Show no run."""
        self._run = self._times = self._reading = self._content = None
        self._selected = self._hovered = None
        self._describe()
        self.update()

    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows. Asks for none."""
        if frame == self.value():
            return
        self._from_film = True
        self.setValue(frame)
        self._from_film = False

    @property
    def scale(self) -> TimeScale:
        """Where times stand now."""
        return self._scale

    @property
    def reach(self) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """Begin and end of the whole run, and of its events with a little around them; None without a run."""
        return None if self._content is None else (self._run_s(), self._eventful())

    def share_axis(self, scale: TimeScale, *, fitted: bool) -> None:
        """Take an axis that other rails have too; zoomed out it shows all that this one spans. ``fitted``: it
        may be chosen anew where another run comes.
        """
        self._reach = scale.first_s, scale.last_s
        self._is_fitted = fitted
        if scale != self._scale:
            self._scale = scale.resized(*self._heights())
            self._strip_of_playhead = self._strip()
            self.update()

    @property
    def is_fitted(self) -> bool:
        """Whether the axis is chosen by the program; False once the coach zoomed or scrolled."""
        return self._is_fitted

    def fit_all(self) -> None:
        """Show the whole run."""
        if self._content is None:
            return
        self._set_scale(self._all())

    def zoom_in(self) -> None:
        """Come closer, keeping the playhead where it is."""
        self._zoom(1, self._playhead_y())

    def zoom_out(self) -> None:
        """Go further away, keeping the playhead where it is."""
        self._zoom(-1, self._playhead_y())

    def sizeHint(self) -> QSize:
        return QSize(math.ceil(Columns.widest(self.font()).width), 480)

    def minimumSizeHint(self) -> QSize:
        return QSize(math.ceil(Columns.of(self.font()).width), 200)

    def sliderChange(self, change: QAbstractSlider.SliderChange) -> None:
        if change != QAbstractSlider.SliderChange.SliderValueChange:
            self.update()
            return
        self._describe()
        if self._content is None:
            return
        self._set_scale(self._scale.showing(self._content.cells.time(self.value())))
        # of a moving playhead only where it was and where it is are painted anew
        self.update(self._strip_of_playhead)
        self._strip_of_playhead = self._strip()
        self.update(self._strip_of_playhead)

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = current_theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(event.rect())
        painter.fillRect(area, QColor(theme.surface))
        if self._content is None or not (self._content.blocks or self._content.events):
            self._paint_empty(painter, theme)
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
        self._measure()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in _REPAINTING:
            self._measure()
            self.updateGeometry()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            place, words = event.pos(), ""
            if place.y() < self._columns.header:
                words = sentences.legend()
            elif self._content is not None:
                words = sentences.item(self._content, self._columns, place.x(), self._scale.time(place.y()))
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)

    def _run_to_show(self) -> Run | None:
        return self._run

    def _lay_out(self) -> None:
        run = self._run_to_show()
        if run is not None and self._times is not None:
            self._content = rail_content(run, self._times, self._reading)
            self._strip_of_playhead = self._strip()

    def _measure(self) -> None:
        self._columns = Columns.of(self.font(), self.width())
        self._scale = self._scale.resized(*self._heights())
        self._strip_of_playhead = self._strip()
        self.update()

    def _set_scale(self, scale: TimeScale) -> None:
        if scale != self._scale:
            self._scale = scale
            self._strip_of_playhead = self._strip()
            self.update()
            self.scale_changed.emit()

    def _whole(self) -> tuple[float, float]:
        return self._reach or self._run_s()

    def _run_s(self) -> tuple[float, float]:
        cells = self._own_content().cells
        return cells.start(cells.first), cells.time(cells.last)

    def _eventful(self) -> tuple[float, float]:
        """The times of the events with a little before and after; the whole run where that is most of it."""
        content = self._own_content()
        first, last = self._run_s()
        if not content.events:
            return first, last
        begin = content.cells.time(content.events[0].frame) - _AROUND_EVENTS_S
        end = content.cells.time(content.events[-1].frame) + _AROUND_EVENTS_S
        if end - begin > _MOST * (last - first):
            return first, last
        return max(first, begin), min(last, end)

    def _own_content(self) -> RailContent:
        assert self._content is not None
        return self._content

    def _all(self) -> TimeScale:
        first, last = self._whole()
        shortest = self._own_content().cells.shortest_s
        return TimeScale.fitted(first, max(last, first + 1e-3), *self._heights(), shortest)

    def _zoom(self, notches: float, y: float) -> None:
        self._is_fitted = False
        self._set_scale(self._scale.zoomed(_ZOOM_STEP**notches, y))

    def _heights(self) -> tuple[float, float]:
        margin = self._columns.line / 2 + Space.TIGHT
        return self._columns.header + margin, self.height() - margin

    def _playhead_y(self) -> float:
        return self._scale.y(self._content.cells.time(self.value())) if self._content else 0.0

    def _strip(self) -> QRect:
        """What the playhead covers, and the axis' figures that make room for it."""
        half = round(self._columns.line * 1.5) + 3
        return QRect(0, round(self._playhead_y()) - half, self.width(), 2 * half)

    def _describe(self) -> None:
        self.setAccessibleDescription(sentences.place(self._content, self.value()))

    def _paint_run(self, rail: RailPainter, area: QRectF) -> None:
        theme = rail.theme
        time_s = rail.content.cells.time(self.value())
        rail.painter.save()
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

    def _paint_empty(self, painter: QPainter, theme: Theme) -> None:
        box = QRectF(self.rect()).adjusted(Space.PAGE, self._columns.header, -Space.PAGE, 0)
        painter.setPen(QColor(theme.muted))
        painter.setFont(self.font())
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(box, int(flags), sentences.empty(self._content))
