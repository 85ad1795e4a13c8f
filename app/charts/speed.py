"""Speed over time or over distance: the fitted curve with its band, the steps, the places asked for."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal, Slot
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QRadioButton,
    QStackedLayout,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

# after PySide6: pyqtgraph takes the binding that is loaded already
import pyqtgraph as pg  # isort: skip

from analysis.values.estimate import Estimate
from analysis.values.film import FrameTimes
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.charts.speed_drawing import draw, legend
from app.charts.speed_shown import SpeedPoint, SpeedShown, speed_shown
from app.speed_words import agreement, last_step_words
from app.theme.apply import current_theme
from app.theme.tokens import Space
from app.words import METRES_PER_SECOND, number_text

NEAR_PX = 14.0
"""How near the pointer has to be to a point: a target of 28 px."""


class SpeedChart(QWidget):
    """The run's speed. A click goes to the frame at that moment or place; Left and Right go from point to
    point, Return asks for its frame.

    Signals:
        frame_requested(int): the frame that the coach chose.

    """

    frame_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reading: Reading | None = None
        self._times: FrameTimes | None = None
        self._zero_s = 0.0
        self._frame = 0
        self._shown: SpeedShown = speed_shown(None, None)
        self._current: SpeedPoint | None = None
        self._stale = True
        self._plot = pg.PlotWidget(self)
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._plot.setMenuEnabled(False)
        self._plot.hideButtons()
        self._plot.setMouseEnabled(x=False, y=False)
        self._plot.viewport().installEventFilter(self)
        self._plot.viewport().setMouseTracking(True)
        self._plot.setAccessibleName(tr("Chart of speed"))
        self._playhead = pg.InfiniteLine(angle=90)
        self._playhead.setZValue(20)
        self._over_time = QRadioButton(tr("Over time, s"), self)
        self._over_distance = QRadioButton(tr("Over distance, m"), self)
        self._over_time.setChecked(True)
        axis = QButtonGroup(self)
        for button in (self._over_time, self._over_distance):
            axis.addButton(button)
        self._over_distance.toggled.connect(self._axis_changed)
        self._legend = _words(self)
        self._said = _words(self)
        self._said.setProperty("role", "caption")
        self._empty = _words(self)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setProperty("role", "caption")
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._empty)
        self._pages.addWidget(self._chart())
        self._empty.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Speed of the run"))
        self.show_reading(None, None)

    def _chart(self) -> QWidget:
        chart = QWidget(self)
        chart.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        chart.setProperty("role", "panel")
        head = QHBoxLayout()
        head.setSpacing(Space.WIDE)
        head.addWidget(self._over_time)
        head.addWidget(self._over_distance)
        head.addWidget(self._legend, 1)
        column = QVBoxLayout(chart)
        column.setContentsMargins(Space.WIDE, Space.TIGHT, Space.WIDE, Space.TIGHT)
        column.setSpacing(Space.TIGHT)
        column.addLayout(head)
        column.addWidget(self._plot, 1)
        column.addWidget(self._said)
        return chart

    @property
    def over_distance(self) -> bool:
        """Whether metres go across, instead of seconds."""
        return self._over_distance.isChecked()

    def show_reading(self, reading: Reading | None, times: FrameTimes | None, zero_s: float = 0.0) -> None:
        """Show a reading's speeds. ``times``: of the film's frames; ``zero_s``: where the axis begins to
        count.
        """
        if reading is self._reading and times is self._times and zero_s == self._zero_s and reading:
            return
        self._reading, self._times, self._zero_s = reading, times, zero_s
        self._shown = speed_shown(reading, times)
        kept = self._current.words if self._current is not None else ""
        self._current = next((p for p in self._shown.points if p.words == kept), None)
        self._empty.setText(_what_to_do(reading))
        said = place_words(reading)
        self._said.setText(said[-1] if said else "")  # the farthest; the reading has them all
        self._said.setToolTip("\n".join(said))
        self._said.setVisible(bool(said))
        self._pages.setCurrentIndex(0 if self._shown.empty else 1)
        self.setAccessibleDescription(self.text_alternative())
        self._stale = True
        self._draw()

    def set_frame(self, frame: int) -> None:
        """Bring the playhead to a frame of the film."""
        if frame != self._frame:
            self._frame = frame
            self._move_playhead()

    def text_alternative(self) -> str:
        """The chart in sentences."""
        if self._shown.empty:
            return self._empty.text()
        return "\n".join([*(p.words for p in self._shown.points), *place_words(self._reading)])

    def place_of(self, point: SpeedPoint) -> QPointF:
        """Where a point stands on the plot's viewport, in pixels."""
        return self._pixel(self._across(point), point.number.value)

    def playhead_at(self) -> float | None:
        """Where the playhead stands on the axis, s from the clock's zero or m; None where it is not shown."""
        return float(self._playhead.value()) if self._playhead.isVisible() else None

    @property
    def points(self) -> tuple[SpeedPoint, ...]:
        """What is drawn with its own uncertainty."""
        return self._shown.points

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key = Qt.Key(event.key())
        if key in ways and self._shown.points:
            points = sorted(self._shown.points, key=lambda p: p.at_s)
            start = -1 if ways[key] > 0 else 0
            here = points.index(self._current) if self._current in points else start
            self._choose(points[(here + ways[key]) % len(points)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._current is not None:
            self.frame_requested.emit(self._current.frame)
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
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange) and hasattr(self, "_pages"):
            self._stale = True
            self._draw()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._draw()

    @Slot()
    def _axis_changed(self) -> None:
        self._stale = True
        self._draw()

    def _draw(self) -> None:
        if not self._stale or not self.isVisible():
            return  # drawn when it comes to sight
        self._stale = False
        theme = current_theme()
        self._legend.setText(legend(theme))
        over = self.over_distance
        draw(self._plot, self._shown, self._current, theme, self.font(), self._zero_s, over_distance=over)
        self._playhead.setPen(pg.mkPen(theme.playhead, width=1))
        self._plot.addItem(self._playhead, ignoreBounds=True)
        self._move_playhead()

    def _move_playhead(self) -> None:
        if not self.isVisible() or self._times is None or self._shown.empty:
            return
        seconds = self._times.at(min(self._frame, len(self._times) - 1))
        at = self._shown.metres_at(seconds) if self.over_distance else seconds - self._zero_s
        self._playhead.setVisible(at is not None)
        if at is not None:
            self._playhead.setValue(at)

    def _clicked(self, place: QPointF) -> None:
        near = self._near(place)
        if near is not None:
            self._choose(near)
            self.frame_requested.emit(near.frame)
            return
        box = self._plot.plotItem.vb
        scene = self._plot.mapToScene(place.toPoint())
        if self._times is None or self._shown.empty or not box.sceneBoundingRect().contains(scene):
            return
        across = float(box.mapSceneToView(scene).x())
        seconds = self._shown.seconds_at(across) if self.over_distance else across + self._zero_s
        if seconds is not None:
            self.frame_requested.emit(int(self._times.last_at_or_before(seconds)))

    def _across(self, point: SpeedPoint) -> float:
        return point.at_m if self.over_distance else point.at_s - self._zero_s

    def _pixel(self, across: float, speed: float) -> QPointF:
        scene = self._plot.plotItem.vb.mapViewToScene(QPointF(across, speed))
        return QPointF(self._plot.mapFromScene(scene))

    def _near(self, place: QPointF) -> SpeedPoint | None:
        by_distance = [((self.place_of(p) - place).manhattanLength(), p) for p in self._shown.points]
        nearest = min(by_distance, key=lambda each: each[0], default=None)
        return nearest[1] if nearest is not None and nearest[0] <= NEAR_PX else None

    def _choose(self, point: SpeedPoint) -> None:
        self._current = point
        self.setAccessibleDescription(f"{point.words}\n{self.text_alternative()}")
        self._stale = True
        self._draw()


def place_words(reading: Reading | None) -> list[str]:
    """Every place with a speed: both ways of reading it and how they differ, a sentence each."""
    out = []
    for speed in reading.speeds if reading is not None else ():
        difference = agreement(speed)
        if difference:
            words = tr("At {x:g} m: {local} from the nearby steps, {model} from the whole run: {difference}.")
            local, model = (number_text(n, METRES_PER_SECOND) for n in (speed.local_m_s, speed.model_m_s))
            out.append(words.format(x=speed.x_m, local=local, model=model, difference=difference))
        elif isinstance(speed.last_step_m_s, Estimate):
            words = tr("At {x:g} m no speed can be read. {name}: {number}.")
            out.append(
                words.format(
                    x=speed.x_m,
                    name=last_step_words(speed),
                    number=number_text(speed.last_step_m_s, METRES_PER_SECOND),
                )
            )
    return out


def _what_to_do(reading: Reading | None) -> str:
    """What the coach places to see the chart."""
    if reading is None or not reading.steps:
        return tr("Tag the touchdowns, set marks of known distance and place the hips to see the speed.")
    if not reading.path:
        return tr("Set marks of known distance, then place the hips at every touchdown and toe-off.")
    return tr("Place the hips at every touchdown and toe-off to see the speed.")


def _words(parent: QWidget) -> QLabel:
    label = QLabel(parent)
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setWordWrap(True)
    return label
