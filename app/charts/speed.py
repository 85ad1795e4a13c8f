"""Speed over time or over distance: the fitted curve with its band, the steps, the places asked for."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QButtonGroup,
    QLabel,
    QRadioButton,
    QWidget,
)

from analysis.report.speed_words import agreement, last_step_words
from analysis.report.words import METRES_PER_SECOND, number_text
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.charts.speed_drawing import draw, legend
from app.charts.speed_shown import SpeedPoint, SpeedShown, speed_shown
from app.charts.timed_chart import TimedChart
from app.theme.apply import current_theme


class SpeedChart(TimedChart[SpeedPoint]):
    """The run's speed. A click beside the points goes to the frame at that moment or place."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Speed of the run"), tr("Chart of speed"), parent)
        self._shown: SpeedShown = speed_shown(None, None)
        self._over_time = QRadioButton(tr("Over time, s"), self)
        self._over_distance = QRadioButton(tr("Over distance, m"), self)
        self._over_time.setChecked(True)
        axis = QButtonGroup(self)
        for button in (self._over_time, self._over_distance):
            axis.addButton(button)
        self._over_distance.toggled.connect(self._axis_changed)
        self._said = QLabel(self)
        self._said.setTextFormat(Qt.TextFormat.RichText)
        self._said.setWordWrap(True)
        self._said.setProperty("role", "caption")
        self._lay_out((self._over_time, self._over_distance), (self._said,))
        self.show_reading(None, None)

    @property
    def over_distance(self) -> bool:
        """Whether metres go across, instead of seconds."""
        return self._over_distance.isChecked()

    def _take(self) -> None:
        reading = self._reading
        self._shown = speed_shown(reading, self._times)
        self._keep_current(self._shown.points)
        self._empty.setText(_what_to_do(reading))
        said = place_words(reading)
        self._said.setText(said[-1] if said else "")  # the farthest; the reading has them all
        self._said.setToolTip("\n".join(said))
        self._said.setVisible(bool(said))
        self._pages.setCurrentIndex(0 if self._shown.empty else 1)
        self.setAccessibleDescription(self.text_alternative())
        self._redraw()

    def text_alternative(self) -> str:
        """The chart in sentences."""
        if self._shown.empty:
            return self._empty.text()
        return "\n".join([*(p.words for p in self._shown.points), *place_words(self._reading)])

    @property
    def points(self) -> tuple[SpeedPoint, ...]:
        """What is drawn with its own uncertainty."""
        return self._shown.points

    @Slot()
    def _axis_changed(self) -> None:
        self._redraw()

    def _draw_all(self) -> None:
        theme = current_theme()
        self._legend.setText(legend(theme))
        over = self.over_distance
        draw(self._plot, self._shown, self._current, theme, self.font(), self._zero_s, over_distance=over)

    def _place_of_frame(self, frame: int) -> float | None:
        if self._times is None or self._shown.empty:
            return None
        seconds = self._times.at(min(frame, len(self._times) - 1))
        return self._shown.metres_at(seconds) if self.over_distance else seconds - self._zero_s

    def _frame_across(self, across: float) -> int | None:
        if self._times is None or self._shown.empty:
            return None
        seconds = self._shown.seconds_at(across) if self.over_distance else across + self._zero_s
        return None if seconds is None else int(self._times.last_at_or_before(seconds))

    def _in_order(self) -> list[SpeedPoint]:
        return sorted(self._shown.points, key=lambda p: p.at_s)

    def _across(self, point: SpeedPoint) -> tuple[float, float]:
        along = point.at_m if self.over_distance else point.at_s - self._zero_s
        return along, point.number.value


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
