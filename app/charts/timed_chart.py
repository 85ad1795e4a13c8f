"""What charts over the frames of a film have in common: drawn late, a click goes to its moment."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedLayout, QVBoxLayout, QWidget

from analysis.values.film import FrameTimes
from analysis.values.reading import Reading
from app.charts.point_chart import ChartPoint, PointChart
from app.theme.tokens import Space

P = TypeVar("P", bound=ChartPoint)


class TimedChart(PointChart[P]):
    """A line of controls with the legend, the plot, and a page of words where there is nothing to draw.

    A click beside the points asks for the frame that belongs to its place across.
    """

    def __init__(self, name: str, of_plot: str, parent: QWidget | None = None) -> None:
        super().__init__(name, of_plot, parent)
        self._reading: Reading | None = None
        self._times: FrameTimes | None = None
        self._zero_s = 0.0
        self._legend = QLabel(self)
        self._legend.setTextFormat(Qt.TextFormat.RichText)
        self._legend.setWordWrap(True)
        self._empty = self._quiet_words()
        self._empty.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._empty)

    def _quiet_words(self) -> QLabel:
        """A sentence in the place of what can't be drawn."""
        words = QLabel(self)
        words.setWordWrap(True)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        words.setProperty("role", "caption")
        return words

    def _lay_out(self, controls: Iterable[QWidget], around: Iterable[QWidget] = ()) -> None:
        """Controls before the legend over the plot; ``around``: what stands below it."""
        chart = QWidget(self)
        chart.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        chart.setProperty("role", "panel")
        head = QHBoxLayout()
        head.setSpacing(Space.WIDE)
        for control in controls:
            head.addWidget(control)
        head.addWidget(self._legend, 1)
        column = QVBoxLayout(chart)
        column.setContentsMargins(Space.WIDE, Space.TIGHT, Space.WIDE, Space.TIGHT)
        column.setSpacing(Space.TIGHT)
        column.addLayout(head)
        column.addWidget(self._plot, 1)
        for words in around:
            column.addWidget(words)
        self._pages.addWidget(chart)

    def place_of(self, point: P) -> QPointF:
        """Where a point stands on the plot's viewport, in pixels."""
        return self._pixel(*self._across(point))

    def show_reading(self, reading: Reading | None, times: FrameTimes | None, zero_s: float = 0.0) -> None:
        """Show a reading. ``times``: of the film's frames; ``zero_s``: where the axis begins to count."""
        if reading is self._reading and times is self._times and zero_s == self._zero_s and reading:
            return
        self._reading, self._times, self._zero_s = reading, times, zero_s
        self._take()

    def _take(self) -> None:
        """Work out what is shown of the reading, and draw it."""
        raise NotImplementedError

    def _keep_current(self, points: Iterable[P]) -> None:
        """Of the new points the one that reads as the current one did stays current."""
        kept = self._current.words if self._current is not None else ""
        self._current = next((p for p in points if p.words == kept), None)

    def _frame_across(self, across: float) -> int | None:
        """The frame that belongs to a place on the axis that goes across."""
        raise NotImplementedError

    def _clicked(self, place: QPointF) -> bool:
        if super()._clicked(place):
            return True
        box = self._plot.plotItem.vb
        scene = self._plot.mapToScene(place.toPoint())
        if not box.sceneBoundingRect().contains(scene):
            return False
        frame = self._frame_across(float(box.mapSceneToView(scene).x()))
        if frame is not None:
            self.frame_requested.emit(frame)
        return frame is not None
