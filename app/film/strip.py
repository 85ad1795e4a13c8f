"""The strip under the film: where it is, with the events on it; a drag or the wheel scrubs."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QAbstractSlider, QSizePolicy, QWidget

from analysis.values.run import Side
from analysis.values.words import tr
from app.theme.apply import current_theme
from app.theme.tokens import FOCUS_PX

HEIGHT = 30
EDGE = 8.0
_NOTCH = 120
_HOLLOW_PX = 1.5


@dataclass(frozen=True)
class Stretch:
    """A piece of the strip to colour: a contact of one side, from frame to frame; hollow while a draft."""

    first: int
    last: int
    side: Side
    draft: bool = False


class ScrubStrip(QAbstractSlider):
    """A slider over the frames of the film; its value is the frame shown.

    Signals:
        frame_requested(int): the coach wants this frame.
    """

    frame_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setOrientation(Qt.Orientation.Horizontal)
        self.setAccessibleName(tr("Film position"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSingleStep(1)
        self.setPageStep(10)
        self.setTracking(True)
        self.setInvertedControls(True)  # as on the rail, up is back
        self.setToolTip(tr("Drag or turn the wheel to go through the film"))
        self._stretches: tuple[Stretch, ...] = ()
        self._ticks: tuple[int, ...] = ()
        self._lost: tuple[tuple[int, int], ...] = ()
        self._loop: tuple[int, int] | None = None
        self._turned = 0
        self._quiet = False
        self.valueChanged.connect(self._changed)

    def sizeHint(self) -> QSize:
        """A thin strip."""
        return QSize(300, HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Never thinner than a target."""
        return QSize(80, HEIGHT)

    def set_frames(self, count: int) -> None:
        """How many frames there are."""
        self._quiet = True
        self.setRange(0, max(0, count - 1))
        self._quiet = False

    def set_frame(self, frame: int) -> None:
        """The film shows this frame; nothing is asked for."""
        self._quiet = True
        self.setValue(frame)
        self._quiet = False
        self.update()

    def set_events(self, stretches: tuple[Stretch, ...], ticks: tuple[int, ...]) -> None:
        """The contacts and the single events to show."""
        self._stretches, self._ticks = stretches, ticks
        self.update()

    def set_lost(self, lost: tuple[tuple[int, int], ...]) -> None:
        """Stretches, both ends included, whose background can't be tied to that of the others."""
        if lost != self._lost:
            self._lost = lost
            words = tr("Hatched: frames whose background could not be followed; places there are left out")
            self.setToolTip(words if lost else tr("Drag or turn the wheel to go through the film"))
            self.update()

    def set_loop(self, loop: tuple[int, int] | None) -> None:
        """The stretch that is looped."""
        self._loop = loop
        self.update()

    def frame_at(self, x: float) -> int:
        """The frame under a place of the strip."""
        share = (x - EDGE) / max(1.0, self.width() - 2 * EDGE)
        return round(self.minimum() + min(1.0, max(0.0, share)) * (self.maximum() - self.minimum()))

    def x_of(self, frame: float) -> float:
        """Where a frame lies on the strip."""
        span = max(1, self.maximum() - self.minimum())
        return EDGE + (frame - self.minimum()) / span * (self.width() - 2 * EDGE)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go there."""
        if event.button() is Qt.MouseButton.LeftButton:
            self.setSliderDown(True)
            self.setValue(self.frame_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Scrub."""
        if self.isSliderDown():
            self.setValue(self.frame_at(event.position().x()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stay."""
        self.setSliderDown(False)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """A frame a notch, ten with Shift."""
        self._turned += event.angleDelta().y() or event.angleDelta().x()
        notches = int(self._turned / _NOTCH)  # fine wheels send parts of a notch
        self._turned -= notches * _NOTCH
        step = 10 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        if notches:
            self.setValue(self.value() - notches * step)
        event.accept()

    def _changed(self, frame: int) -> None:
        if not self._quiet:
            self.frame_requested.emit(frame)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Track, loop, contacts, single events, playhead."""
        theme = current_theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        height = self.height()
        track = QRectF(EDGE, height / 2 - 7, self.width() - 2 * EDGE, 14)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.sunken))
        painter.drawRoundedRect(track, 3, 3)
        for first, last in self._lost:
            left, right = self.x_of(first - 0.5), self.x_of(last + 0.5)
            painter.setBrush(QBrush(QColor(theme.muted), Qt.BrushStyle.BDiagPattern))
            painter.drawRect(QRectF(left, track.top() - 3, max(3.0, right - left), track.height() + 6))
        if self._loop is not None:
            left, right = (self.x_of(frame) for frame in self._loop)
            painter.setBrush(QColor(theme.selection))
            painter.drawRect(QRectF(left, 2, max(2.0, right - left), height - 4))
        for stretch in self._stretches:
            left, right = self.x_of(stretch.first), self.x_of(stretch.last)
            top = track.top() if stretch.side is Side.LEFT else track.center().y()
            box = QRectF(left, top, max(2.0, right - left), 7)
            fill = QColor(theme.side(stretch.side).fill)
            if stretch.draft:
                painter.setPen(QPen(fill, _HOLLOW_PX))
                painter.setBrush(QColor(theme.surface))
                half = _HOLLOW_PX / 2
                painter.drawRoundedRect(box.adjusted(half, half, -half, -half), 1, 1)
                painter.setPen(Qt.PenStyle.NoPen)
            else:
                painter.setBrush(fill)
                painter.drawRoundedRect(box, 1, 1)
        painter.setPen(QPen(QColor(theme.muted), 1.5))
        for tick in self._ticks:
            x = self.x_of(tick)
            painter.drawLine(QPointF(x, track.top() - 3), QPointF(x, track.bottom() + 3))
        x = self.x_of(self.value())
        painter.setPen(QPen(QColor(theme.surface), 4))
        painter.drawLine(QPointF(x, 2), QPointF(x, height - 2))
        painter.setPen(QPen(QColor(theme.playhead), 2))
        painter.drawLine(QPointF(x, 2), QPointF(x, height - 2))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.focus), FOCUS_PX))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 4, 4)
