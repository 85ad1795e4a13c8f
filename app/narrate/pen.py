"""What the coach draws by hand over a picture while presenting or speaking."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from analysis.report.scene import MARK_COLOUR
from app.film.view import FrameView

_WIDTH, _AROUND = 3.5, 2.5

Place = tuple[float, float]


class PenLayer(QWidget):
    """Lies over a view and takes its mouse. Strokes are in pixels of the picture, so they stay with it.

    Signals:
        began(float, float): the pen was put down at u, v.
        moved(float, float): it went there.
    """

    began = Signal(float, float)
    moved = Signal(float, float)

    def __init__(self, view: FrameView) -> None:
        super().__init__(view)
        self._view = view
        self._strokes: tuple[tuple[Place, ...], ...] = ()
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setGeometry(view.rect())
        view.installEventFilter(self)
        view.reframed.connect(self.update)

    @property
    def strokes(self) -> tuple[tuple[Place, ...], ...]:
        """What is to be seen."""
        return self._strokes

    def show_strokes(self, strokes: Sequence[Sequence[Place]]) -> None:
        """Show these strokes instead."""
        new = tuple(tuple(stroke) for stroke in strokes)
        if new != self._strokes:
            self._strokes = new
            self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay as large as the view."""
        if watched is self._view and event.type() is QEvent.Type.Resize:
            self.setGeometry(self._view.rect())
        return super().eventFilter(watched, event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton and self._view.has_picture:
            place = self._picture(event.position())
            self._strokes = (*self._strokes, (place,))
            self.began.emit(*place)
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton and self._strokes:
            place = self._picture(event.position())
            self._strokes = (*self._strokes[:-1], (*self._strokes[-1], place))
            self.moved.emit(*place)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for stroke in self._strokes:
            line = [QPointF(*self._view.mapping.to_widget(*place)) for place in stroke]
            for colour, width in ((QColor(0, 0, 0, 170), _WIDTH + _AROUND), (QColor(MARK_COLOUR), _WIDTH)):
                pen = QPen(colour, width)
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
                pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
                painter.setPen(pen)
                if len(stroke) == 1:
                    painter.drawPoint(line[0])
                else:
                    painter.drawPolyline(QPolygonF(line))

    def _picture(self, place: QPointF) -> Place:
        return self._view.mapping.to_picture(place.x(), place.y())
