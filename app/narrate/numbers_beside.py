"""The numbers of the step at hand, beside the picture, large enough for a room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from analysis.report.step_columns import MEASURES
from analysis.report.words import explanation, number_text, side_word, spoken
from analysis.values.estimate import NoValue
from analysis.values.reading import Reading, StepReading
from analysis.values.words import tr
from app.theme.apply import sized
from app.theme.tokens import Space, Type


class NumbersBeside(QWidget):
    """Name by name what is known of the step that is on at a frame; what has no number is left out."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._step: StepReading | None = None
        self.title = QLabel(self)
        self.title.setProperty("role", "heading")
        self.title.setWordWrap(True)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(Space.WIDE)
        self._grid.setVerticalSpacing(Space.SMALL)
        self._grid.setColumnStretch(0, 1)
        self._grid.addWidget(self.title, 0, 0, 1, 2)
        self._rows: list[tuple[QLabel, QLabel]] = []
        for line, column in enumerate(MEASURES, start=1):
            name, number = QLabel(column.name, self), QLabel(self)
            number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            number.setFont(sized(number.font(), Type.HEADING, bold=True))
            self._grid.addWidget(name, line, 0)
            self._grid.addWidget(number, line, 1)
            self._rows.append((name, number))
        self._show(None)

    def show_frame(self, reading: Reading | None, frame: int) -> None:
        """Show the step that is on at a frame: the last one whose touchdown has passed."""
        steps = () if reading is None else reading.steps
        passed = [step for step in steps if step.touchdown is not None and step.touchdown <= frame]
        step = passed[-1] if passed else None
        if step is not self._step:
            self._show(step)

    def _show(self, step: StepReading | None) -> None:
        self._step = step
        self.title.setText(
            tr("Before the first touchdown")
            if step is None
            else tr("Step {step}, {side}").format(step=step.step, side=side_word(step.side))
        )
        for column, (name, number) in zip(MEASURES, self._rows, strict=True):
            result = None if step is None else column.result(step)
            known = result is not None and not isinstance(result, NoValue)
            name.setVisible(known)
            number.setVisible(known)
            if result is not None and known:
                number.setText(number_text(result, column.unit))
                number.setToolTip(explanation(result, column.unit))
                number.setAccessibleName(spoken(column.name, result, column.unit))
