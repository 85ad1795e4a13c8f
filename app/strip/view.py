"""The ground strip beside the film: every contact is an upright streak, at its place and its time."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractSlider, QSizePolicy, QWidget

from analysis.jobs.drafted import StripPicture
from analysis.report.rail_cells import FrameCells
from analysis.report.words import figure
from analysis.values.film import FrameTimes
from analysis.values.run import Footfall, Run
from analysis.values.words import tr
from app.rail.view import RailView
from app.strip.picture import painted, used_columns
from app.theme.apply import current_theme, sized
from app.theme.tokens import FOCUS_PX, TARGET_PX, Space, Type

_WIDTH, _LEAST = 170, 120
_SHOE_PX, _NEAR_PX = 5.0, 4.0
_TEN = 10
_KEYS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Left: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_Right: 1}


class GroundStripView(QAbstractSlider):
    """Place across, time down, on the axis of a rail; its value is the frame that the film shows.

    Arrows step one frame, with Shift ten; a click goes to its frame.
    Signals:
        frame_requested(int): the coach asks for a frame; never emitted by ``set_frame``.
        footfall_taken(str, int): a footfall's streak was clicked, and on which frame.
    """

    frame_requested = Signal(int)
    footfall_taken = Signal(str, int)

    def __init__(self, rail: RailView, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rail = rail
        self._strip: StripPicture | None = None
        self._run: Run | None = None
        self._cells: FrameCells | None = None
        self._metres: npt.NDArray[np.float64] | None = None
        self._places: Mapping[str, float] = {}
        self._used = (0, 1)
        self._image: QImage | None = None
        self._playhead = QRect()
        self.setOrientation(Qt.Orientation.Vertical)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(tr("Ground strip"))
        self.setToolTip(
            tr(
                "The band of the picture along the ground: place across, time down. An upright streak is a "
                "foot that stands. Click one, and the film is there."
            )
        )
        self.setRange(0, 0)
        rail.scale_changed.connect(self._axis_moved)
        rail.installEventFilter(self)

    def show_strip(
        self,
        strip: StripPicture | None,
        run: Run | None,
        times: FrameTimes | None,
        metres: npt.NDArray[np.float64] | None,
        places: Mapping[str, float],
    ) -> None:
        """Show a run's strip. ``metres``: of every column; ``places``: columns of the shoes, by footfall."""
        if strip is not self._strip and strip is not None:
            self._used = used_columns(strip.levels)
        self._strip, self._run, self._metres, self._places = strip, run, metres, places
        self._cells = None
        if run is not None and times is not None:
            movement = run.start.first_movement
            plain = FrameCells(times, run.first_frame, run.last_frame)
            zero = plain.time(run.first_frame if movement is None else movement)
            self._cells = FrameCells(times, run.first_frame, run.last_frame, zero)
            blocked = self.blockSignals(True)
            self.setRange(run.first_frame, run.last_frame)
            self.blockSignals(blocked)
        self._axis_moved()

    @Slot(int)
    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows. Asks for none; only the playhead's line is painted anew."""
        if frame == self.value():
            return
        blocked = self.blockSignals(True)
        self.setValue(frame)
        self.blockSignals(blocked)
        self.update(self._playhead)
        self._playhead = self._line()
        self.update(self._playhead)

    def frame_at(self, y: float) -> int | None:
        """The frame at a height."""
        return None if self._cells is None else self._cells.frame_at(self._rail.scale.time(y))

    def x_of(self, column: float) -> float:
        """Where a column of the strip stands."""
        begin, end = self._used
        return (column - begin) / max(1, end - begin) * self.width()

    def sizeHint(self) -> QSize:
        return QSize(_WIDTH, 480)

    def minimumSizeHint(self) -> QSize:
        return QSize(_LEAST, 200)

    def eventFilter(self, watched: QWidget, event: QEvent) -> bool:  # type: ignore[override]
        """The rail's axis is another one with its height."""
        if event.type() is QEvent.Type.Resize:
            self._axis_moved()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._axis_moved()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.StyleChange, QEvent.Type.FontChange):
            self._axis_moved()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        frame = self.frame_at(event.position().y())
        if event.button() is Qt.MouseButton.LeftButton and frame is not None:
            self.frame_requested.emit(frame)
            taken = self._footfall_at(event.position())
            if taken is not None:
                self.footfall_taken.emit(taken.id, frame)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _KEYS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        tens = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        wanted = self.value() + step * (_TEN if tens else 1)
        self.frame_requested.emit(min(max(wanted, self.minimum()), self.maximum()))

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = current_theme()
        painter = QPainter(self)
        painter.fillRect(event.rect(), QColor(theme.surface))
        if self._strip is None or self._run is None or self._cells is None:
            self._paint_empty(painter)
        else:
            if self._image is None:
                self._image = self._drawn(self._strip, self._cells)
            painter.drawImage(event.rect(), self._image, event.rect())
            for footfall in self._run.footfalls:
                self._outline(painter, footfall, self._cells)
            self._scale(painter)
            painter.setPen(QPen(QColor(theme.playhead), 1.5))
            y = self._rail.scale.y(self._cells.time(self.value()))
            painter.drawLine(0, round(y), self.width(), round(y))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.focus), FOCUS_PX))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    @Slot()
    def _axis_moved(self) -> None:
        self._image = None
        self._playhead = self._line()
        self.update()

    def _line(self) -> QRect:
        if self._cells is None:
            return QRect()
        y = round(self._rail.scale.y(self._cells.time(self.value())))
        return QRect(0, y - 2, self.width(), 5)

    def _drawn(self, strip: StripPicture, cells: FrameCells) -> QImage:
        scale = self._rail.scale
        frames = np.full(max(1, self.height()), -1, np.int64)
        for y in range(max(0, round(scale.top_px)), min(len(frames), round(scale.bottom_px) + 1)):
            frames[y] = cells.frame_at(scale.time(y))
        return painted(strip.levels, frames, self._used, max(1, self.width()), current_theme())

    def _footfall_at(self, place: QPointF) -> Footfall | None:
        """The footfall whose outline is under the pointer or nearly so; of several the nearest."""
        run, cells = self._run, self._cells
        if run is None or cells is None:
            return None
        boxes = [(box, f) for f in run.footfalls if (box := self._box(f, cells)) is not None]
        around = (TARGET_PX - 3 * _SHOE_PX) / 2
        near = [one for one in boxes if one[0].adjusted(-around, -_NEAR_PX, around, _NEAR_PX).contains(place)]
        return min(near, key=lambda one: abs(one[0].center().y() - place.y()), default=(None, None))[1]

    def _box(self, footfall: Footfall, cells: FrameCells) -> QRectF | None:
        column = self._places.get(footfall.id)
        if column is None or footfall.touchdown is None:
            return None
        top = self._rail.scale.y(cells.start(footfall.touchdown))
        last = footfall.touchdown if footfall.toe_off is None else footfall.toe_off
        bottom = self._rail.scale.y(cells.start(last))
        return QRectF(self.x_of(column) - 2 * _SHOE_PX, top, 3 * _SHOE_PX, max(3.0, bottom - top))

    def _outline(self, painter: QPainter, footfall: Footfall, cells: FrameCells) -> None:
        box = self._box(footfall, cells)
        if box is None:
            return
        style = Qt.PenStyle.DashLine if footfall.draft else Qt.PenStyle.SolidLine
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(current_theme().side(footfall.side).fill), 2, style))
        painter.drawRect(box)

    def _scale(self, painter: QPainter) -> None:
        """Metres along the top, where the marks give them."""
        theme, metres = current_theme(), self._metres
        painter.setFont(sized(self.font(), Type.CAPTION))
        painter.setPen(QColor(theme.muted))
        line = painter.fontMetrics().height()
        flags = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        if metres is None:
            box = QRectF(Space.SMALL, Space.SMALL, self.width() - 2 * Space.SMALL, 2 * line)
            painter.drawText(box, flags | int(Qt.TextFlag.TextWordWrap), tr("Place along the ground"))
            return
        begin, end = self._used
        seen = metres[begin:end]
        low, high = float(np.nanmin(seen)), float(np.nanmax(seen))
        step = next((s for s in (1.0, 2.0, 5.0, 10.0) if (high - low) / s <= 8), 20.0)
        for value in np.arange(np.ceil(low / step) * step, high, step):
            x = self.x_of(begin + float(np.nanargmin(np.abs(seen - value))))
            painter.drawText(QRectF(x - 30, Space.SMALL, 60, line), flags, figure(float(value), 0))
            painter.drawLine(round(x), Space.SMALL + line, round(x), Space.SMALL + line + Space.TIGHT)
        painter.drawText(QRectF(Space.TIGHT, Space.SMALL + line, 30, line), tr("m"))

    def _paint_empty(self, painter: QPainter) -> None:
        painter.setPen(QColor(current_theme().muted))
        box = QRectF(self.rect()).adjusted(Space.WIDE, Space.PAGE, -Space.WIDE, -Space.PAGE)
        flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
        painter.drawText(box, flags, tr("The ground strip of this film is not made yet."))
