"""What charts of single points have in common: keys from point to point, a click, a word on each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, Protocol, TypeVar

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QShowEvent
from PySide6.QtWidgets import QToolTip, QWidget

# after PySide6: pyqtgraph takes the binding that is loaded already
import pyqtgraph as pg  # isort: skip

from app.theme.apply import current_theme

NEAR_PX = 14.0
"""How near the pointer has to be to a point: a target of 28 px."""


class ChartPoint(Protocol):
    """A point of a chart: a sentence, and the frame that it belongs to."""

    @property
    def words(self) -> str:
        """The point as a sentence."""

    @property
    def frame(self) -> int | None:
        """Where it is on the film."""


P = TypeVar("P", bound=ChartPoint)


class PointChart(QWidget, Generic[P]):
    """Up and Down go from point to point, Left and Right where no film takes them; Return asks for the frame,
    and so does a click on a point.

    Signals:
        frame_requested(int): the frame that the coach chose.
    """

    frame_requested = Signal(int)

    def __init__(self, name: str, of_plot: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._current: P | None = None
        self._frame = 0
        self._stale = True
        self._playhead = pg.InfiniteLine(angle=90)
        self._playhead.setZValue(20)
        self._plot = pg.PlotWidget(self, enableMenu=False)
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._plot.hideButtons()
        self._plot.setMouseEnabled(x=False, y=False)
        self._plot.viewport().installEventFilter(self)
        self._plot.viewport().setMouseTracking(True)
        self._plot.setAccessibleName(of_plot)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)

    def set_frame(self, frame: int) -> None:
        """Bring the playhead to a frame of the film."""
        if frame != self._frame:
            self._frame = frame
            self._move_playhead()

    def playhead_at(self) -> float | None:
        """Where the playhead stands on the axis that goes across; None where it is not shown."""
        return float(self._playhead.value()) if self._playhead.isVisible() else None

    def text_alternative(self) -> str:
        """The chart in sentences."""
        raise NotImplementedError

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        key, points = Qt.Key(event.key()), self._in_order()
        if key in ways and points:
            start = -1 if ways[key] > 0 else 0
            here = points.index(self._current) if self._current in points else start
            self._choose(points[(here + ways[key]) % len(points)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._current is not None:
            self._ask(self._current)
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseButtonRelease:
            if event.button() == Qt.MouseButton.LeftButton:
                self._clicked(event.position())
        elif isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            near = self._near(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), near.words if near else "", self)
            return True
        return super().eventFilter(watched, event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        # text and colours come before the parts are there
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange) and hasattr(self, "_pages"):
            self._redraw()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._draw()
        self._move_playhead()

    def _in_order(self) -> Sequence[P]:
        """The points, as keys go through them."""
        raise NotImplementedError

    def _across(self, point: P) -> tuple[float, float]:
        """Where a point is on the two axes."""
        raise NotImplementedError

    def _place_of_frame(self, frame: int) -> float | None:
        """Where a frame of the film is on the axis that goes across; None where it is not."""
        raise NotImplementedError

    def _add_playhead(self) -> None:
        """Draw the playhead over all that was drawn."""
        self._playhead.setPen(pg.mkPen(current_theme().playhead, width=1))
        self._plot.addItem(self._playhead, ignoreBounds=True)
        self._move_playhead()

    def _move_playhead(self) -> None:
        if not self.isVisible():
            return  # moved when it comes to sight
        at = self._place_of_frame(self._frame)
        self._playhead.setVisible(at is not None)
        if at is not None:
            self._playhead.setValue(at)

    def _draw_all(self) -> None:
        """Draw everything but the playhead."""
        raise NotImplementedError

    def _draw(self) -> None:
        """Draw what is not drawn yet, once it is in sight."""
        if self._stale and self.isVisible():
            self._stale = False
            self._draw_all()
            self._add_playhead()

    def _redraw(self) -> None:
        """Draw anew."""
        self._stale = True
        self._draw()

    def _clicked(self, place: QPointF) -> bool:
        """A click on the plot; False where it was on no point."""
        near = self._near(place)
        if near is None:
            return False
        self._choose(near)
        self._ask(near)
        return True

    def _pixel(self, across: float, up: float) -> QPointF:
        """Where a place on the two axes lies on the plot's viewport, in pixels."""
        scene = self._plot.plotItem.vb.mapViewToScene(QPointF(across, up))
        return QPointF(self._plot.mapFromScene(scene))

    def _near(self, place: QPointF) -> P | None:
        """The nearest point, where it is near."""
        by_distance = [
            ((self._pixel(*self._across(p)) - place).manhattanLength(), p) for p in self._in_order()
        ]
        nearest = min(by_distance, key=lambda each: each[0], default=None)
        return nearest[1] if nearest is not None and nearest[0] <= NEAR_PX else None

    def _choose(self, point: P) -> None:
        self._current = point
        self.setAccessibleDescription(f"{point.words}\n{self.text_alternative()}")
        self._redraw()

    def _ask(self, point: P) -> None:
        if point.frame is not None:
            self.frame_requested.emit(point.frame)
