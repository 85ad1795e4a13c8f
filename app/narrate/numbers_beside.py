"""The numbers of the step at hand, beside the picture, large enough for a room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from analysis.report.sections import Section, launched, stepped
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.theme.apply import sized
from app.theme.tokens import Space, Type


class NumbersBeside(QWidget):
    """Name by name what is known of the step that is on at a frame, before the first one of the start push;
    what has no number is left out.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._shown: Section | None = None
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
        self._show(_known(None, 0))

    def show_frame(self, reading: Reading | None, frame: int) -> None:
        """Show the step that is on at a frame, the last one whose touchdown has passed, or the start push."""
        known = _known(reading, frame)
        if known != self._shown:
            self._show(known)

    def _show(self, known: Section) -> None:
        self._shown = known
        self.title.setText(known.title)
        while len(self._rows) < len(known.rows):
            self._add_row()
        for name, number in self._rows[len(known.rows) :]:
            name.hide()
            number.hide()
        for one, (name, number) in zip(known.rows, self._rows, strict=False):
            name.setText(one.name)
            number.setText(one.text)
            number.setToolTip(one.hint)
            number.setAccessibleName(one.spoken)
            name.show()
            number.show()

    def _add_row(self) -> None:
        name, number = QLabel(self), QLabel(self)
        number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        number.setFont(sized(number.font(), Type.HEADING, bold=True))
        self._rows.append((name, number))
        for column, label in enumerate((name, number)):
            self._grid.addWidget(label, len(self._rows), column)


def _known(reading: Reading | None, frame: int) -> Section:
    """What is told at a frame."""
    steps = () if reading is None else reading.steps
    passed = [step for step in steps if step.touchdown is not None and step.touchdown <= frame]
    if passed:
        return stepped(passed[-1])
    push = None if reading is None else launched(reading)
    return push if push is not None and push.rows else Section(tr("Before the first touchdown"), ())
