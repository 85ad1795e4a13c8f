"""The numbers of the rhythm by step, with their uncertainty: times, or step length, or step velocity."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Slot
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QStackedLayout, QVBoxLayout, QWidget

from analysis.values.reading import Reading
from analysis.values.words import tr
from app.charts.point_chart import PointChart
from app.charts.rhythm_drawing import draw, legend
from app.charts.rhythm_shown import CHOICES, TIMES, RhythmChoice, RhythmPoint, columns, rhythm_points
from app.theme.apply import current_theme
from app.theme.tokens import Space


class RhythmChart(PointChart[RhythmPoint]):
    """Steps across, the numbers of one choice up: the first filled, the second hollow; sides by colour and
    shape, grey where a number can't be told apart from the step before, a diamond around a break.

    The frame of a point is the touchdown of its step, or the toe-off of its flight. The playhead is on a
    step's column at its touchdown and half-way to the next one half-way between both touchdowns.

    Attributes: ``choices`` which of ``CHOICES`` is shown.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(TIMES.name, tr("Chart of the rhythm"), parent)
        self._reading: Reading | None = None
        self._points: tuple[RhythmPoint, ...] = ()
        self._columns: tuple[list[int], list[float]] = ([], [])
        self._head = QWidget(self)
        self.choices = QComboBox(self._head)
        self.choices.setAccessibleName(tr("Numbers of the rhythm on show"))
        for choice in CHOICES:
            self.choices.addItem(choice.title)
        self._legend = QLabel(self)
        self._legend.setTextFormat(Qt.TextFormat.RichText)
        self._legend.setWordWrap(True)
        self._empty = QLabel(self)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setWordWrap(True)
        self._empty.setProperty("role", "caption")
        self._lay_out()
        self.choices.currentIndexChanged.connect(self._chosen)
        self.show_reading(None)

    def _lay_out(self) -> None:
        """The choice before the legend, over the plot or the words that stand in its place."""
        head = QHBoxLayout(self._head)
        head.setContentsMargins(0, 0, 0, 0)
        head.setSpacing(Space.WIDE)
        head.addWidget(self.choices)
        head.addWidget(self._legend, 1)
        panel = QWidget(self)
        panel.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        panel.setProperty("role", "panel")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(panel)
        column = QVBoxLayout(panel)
        column.setContentsMargins(Space.WIDE, Space.TIGHT, Space.WIDE, Space.TIGHT)
        column.setSpacing(Space.TIGHT)
        column.addWidget(self._head)
        self._pages = QStackedLayout()
        self._pages.addWidget(self._empty)
        self._pages.addWidget(self._plot)
        column.addLayout(self._pages, 1)

    @property
    def choice(self) -> RhythmChoice:
        """What is shown."""
        return CHOICES[self.choices.currentIndex()]

    def show_reading(self, reading: Reading | None) -> None:
        """Show the steps of a reading."""
        self._reading = reading
        self._columns = columns(reading.steps if reading else ())
        self._head.setVisible(bool(reading and reading.steps))
        self._take()

    @Slot()
    def _chosen(self) -> None:
        self._take()
        self._move_playhead()

    def _take(self) -> None:
        choice = self.choice
        self._points = rhythm_points(self._reading, choice)
        kept = [p for p in self._points if self._current and _same(p, self._current)]
        self._current = kept[0] if kept else None
        self._empty.setText(choice.lacking if self._head.isVisibleTo(self) else TIMES.lacking)
        self._pages.setCurrentIndex(1 if self._points else 0)
        self.setAccessibleName(choice.name)
        self.setAccessibleDescription(self.text_alternative())
        self._redraw()

    def text_alternative(self) -> str:
        """The chart in sentences, one a point."""
        if not self._points:
            return self._empty.text()
        return "\n".join(point.words for point in self._points)

    def place_of(self, step: int, measure: str) -> QPointF:
        """Where a point stands on the plot's viewport, in pixels. Raises KeyError where there is none."""
        point = next((p for p in self._points if (p.step, p.measure) == (step, measure)), None)
        if point is None:
            raise KeyError(step, measure)
        return self._pixel(*self._across(point))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseMove:
            near = self._near(event.position())
            shape = Qt.CursorShape.PointingHandCursor if near else Qt.CursorShape.ArrowCursor
            self._plot.viewport().setCursor(shape)
        return super().eventFilter(watched, event)

    def _draw_all(self) -> None:
        theme = current_theme()
        self._legend.setText(legend(theme, self.choice))
        draw(self._plot, self._points, self.choice, self._current, theme, self.font())

    def _place_of_frame(self, frame: int) -> float | None:
        frames, places = self._columns
        if not self._points or not frames or not frames[0] <= frame <= frames[-1]:
            return None
        return float(np.interp(frame, frames, places))

    def _in_order(self) -> tuple[RhythmPoint, ...]:
        return self._points

    def _across(self, point: RhythmPoint) -> tuple[float, float]:
        return point.step, point.shown.value


def _same(one: RhythmPoint, other: RhythmPoint) -> bool:
    return (one.step, one.measure) == (other.step, other.measure)
