"""What differs between the two runs on show, and how the comparison ends."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal, Slot
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from analysis.reading.closing import closing
from analysis.reading.compare import compare
from analysis.values.comparison import Claim, Comparison
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.bench import Look
from app.compare.difference_table import DifferenceTable
from app.run.section_view import said
from app.theme.tokens import Space


class Differences(QWidget):
    """Upper film first: a difference is the lower film's number less the upper one's.

    Signals: step_requested(int): a step of a measure that was chosen.
    """

    step_requested = Signal(int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._looks: tuple[Look | None, Look | None] = (None, None)
        self._readings: tuple[Reading | None, Reading | None] = (None, None)
        self._comparison: Comparison | None = None
        self.changed = said("", "", wrap=True)
        self.held = said("", "", wrap=True)
        self.next = said("", "", wrap=True)
        self.notes = said("", "caption", wrap=True)
        self.every = QCheckBox(tr("Also what can't be told apart"), self)
        self.every.toggled.connect(self._fill)
        self.others = QCheckBox(tr("Compare in spite of other conditions"), self)
        self.others.toggled.connect(self._compare)
        self.table = DifferenceTable(self)
        self.table.step_requested.connect(self.step_requested)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        for part in (self.changed, self.held, self.next, self.notes, self.others, self.every):
            column.addWidget(part)
        column.addWidget(self.table, 1)

    def sizeHint(self) -> QSize:
        """All columns of the table without scrolling."""
        return QSize(self.table.whole_width() + Space.WIDE + Space.BASE, super().sizeHint().height())

    def show_looks(self, upper: Look | None, lower: Look | None) -> None:
        """Compare these; nothing is worked out anew where both readings are as they were."""
        self._looks = upper, lower
        now = tuple(None if look is None else look.reading for look in self._looks)
        if now[0] is self._readings[0] and now[1] is self._readings[1] and self._comparison is not None:
            return
        self._readings = now[0], now[1]
        self._compare()

    @Slot()
    def _compare(self) -> None:
        before, after = self._readings
        self._comparison = None
        if before is not None and after is not None:
            self._comparison = compare([before], [after], allow_other_conditions=self.others.isChecked())
            end = closing(self._comparison, [after])
            self.changed.setText(end.changed)
            self.held.setText(end.held)
            self.next.setText(end.next)
            self.notes.setText(" ".join(self._comparison.notes))
        barred = self._comparison is not None and all(
            row.claim is Claim.NOT_COMPARED for row in self._comparison.rows
        )
        self.others.setVisible(barred or self.others.isChecked())
        for part in (self.changed, self.held, self.next, self.notes):
            part.setVisible(self._comparison is not None and bool(part.text()))
        self._fill()

    @Slot()
    def _fill(self) -> None:
        names = tuple("" if look is None else look.run.name for look in self._looks)
        rows = () if self._comparison is None else self._comparison.rows
        shown = [row for row in rows if self.every.isChecked() or row.claim is Claim.DIFFERS]
        self.table.rows.show_rows(shown, (names[0], names[1]))
