"""The chart of posture: any angle over time, the height and the path of the centre of mass."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QWidget

from analysis.values.words import tr
from app.charts.curves_drawing import draw, legend
from app.charts.curves_shown import CHOICES, Choice, CurvePoint, CurvesShown, curves_shown
from app.charts.timed_chart import TimedChart
from app.theme.apply import current_theme

_LEAST_LINES = 8
"""So many lines of text high the chart is where its legend has room above it."""


class CurveChart(TimedChart[CurvePoint]):
    """One measure at a time over the run's time, which counts as the rail's does. A click goes to the frame
    at that moment; keys go through the numbers at the events.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Posture over time"), tr("Chart of posture"), parent)
        self._shown = CurvesShown()
        self._choice = QComboBox(self)
        self._choice.setAccessibleName(tr("What the chart shows"))
        self._choice.addItems([choice.title for choice in CHOICES])
        self._choice.currentIndexChanged.connect(self._take)
        self._unread = self._quiet_words()
        self._lay_out((self._choice,), (self._unread,))
        self.show_reading(None, None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # with little room the curves have it
        self._legend.setVisible(self.height() >= _LEAST_LINES * self.fontMetrics().height())

    @property
    def choice(self) -> Choice:
        """What is on show."""
        return CHOICES[self._choice.currentIndex()]

    @property
    def points(self) -> tuple[CurvePoint, ...]:
        """The numbers at the events."""
        return self._shown.points

    def text_alternative(self) -> str:
        """The chart in sentences."""
        if self._pages.currentIndex() == 0:
            return self._empty.text()
        return "\n".join([self.choice.title, *(p.words for p in self._shown.points)])

    @property
    def _zero(self) -> float:
        return 0.0 if self.choice.over_place else self._zero_s

    @Slot()
    def _take(self) -> None:
        self._shown = curves_shown(self._reading, self._times, self.choice)
        self._keep_current(self._shown.points)
        body = self._reading is not None and bool(self._reading.series)
        self._empty.setText(tr("Place body points, and have them followed, to see angles over time."))
        self._pages.setCurrentIndex(1 if body else 0)
        self._unread.setText(_why_not(self.choice))
        self._unread.setVisible(self._shown.empty)
        self._plot.setVisible(not self._shown.empty)
        self.setAccessibleDescription(self.text_alternative())
        self._redraw()

    def _draw_all(self) -> None:
        theme = current_theme()
        self._legend.setText("" if self._shown.empty else legend(theme, self._shown, self.choice))
        draw(self._plot, self._shown, self._current, theme, self.font(), self._zero)

    def _place_of_frame(self, frame: int) -> float | None:
        across = self._shown.across_at(frame)
        return None if across is None else across - self._zero

    def _frame_across(self, across: float) -> int | None:
        return self._shown.frame_at(across + self._zero)

    def _in_order(self) -> list[CurvePoint]:
        return sorted(self._shown.points, key=lambda p: p.across)

    def _across(self, point: CurvePoint) -> tuple[float, float]:
        return point.across - self._zero, point.number.value


def _why_not(choice: Choice) -> str:
    """What the coach places to see a measure of which nothing is known."""
    if choice.unit.symbol == "m":
        return tr(
            "Set marks of known distance, and place the trunk and both legs, to see the centre of mass."
        )
    return tr("Place the points of these limbs on a frame or more to see their angles.")
