"""The posture table: every measure of launch, swap and strike for every step."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QModelIndex, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyledItemDelegate, QWidget

from analysis.values.posture import PostureReading
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.copying import Cell, Rows, with_error
from app.run.number_table import NumberTable, plain_cells
from app.run.posture_model import PostureModel

_NAMES_SHARE = 0.4
"""So much of the width the names of the measures take at most."""


class PostureTable(NumberTable):
    """A row a measure, a column a step. A click or Return on a cell goes to the frames that it rests on, one
    after the other when it is chosen again; Ctrl+C copies rows with their uncertainty.

    Signals:
        chosen(PostureReading): the measure of the cell that was clicked.
        looked_at(PostureReading, str): the cell that is current now, and its words; None for none.

    """

    chosen = Signal(object)
    looked_at = Signal(object, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        model = PostureModel()
        super().__init__(model, tr("Posture table"), parent)
        model.setParent(self)
        self._posture = model
        self._words = QStyledItemDelegate(self)
        self._last: PostureReading | None = None
        self._stop = 0
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        rows = self.verticalHeader()
        rows.setAccessibleName(tr("Measures"))
        rows.setHighlightSections(False)
        rows.setSectionsClickable(False)
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setAccessibleName(tr("Steps"))
        self.selectionModel().currentChanged.connect(self._say)
        self._fit()

    def show_reading(self, reading: Reading | None) -> None:
        """Show the posture of a reading."""
        before = self._posture.layout_key()
        posture = reading.posture if reading is not None else ()
        self._posture.show_posture(posture if any(one.step or one.frames for one in posture) else ())
        if self._posture.layout_key() != before:
            self._fit()
        self._say(self.currentIndex())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # the numbers have the greater part; a name that is cut is whole in its tooltip
        self.verticalHeader().setMaximumWidth(int(_NAMES_SHARE * self.width()))

    @Slot(QModelIndex)
    def _say(self, index: QModelIndex) -> None:
        found = self._posture.reading(index)
        self.looked_at.emit(found, self._posture.words(index) if found is not None else "")

    def _go(self, index: QModelIndex) -> None:
        found = self._posture.reading(index)
        if found is None:
            return
        stops = stops_of(found)
        again = found == self._last and len(stops) > 1
        self._last, self._stop = found, (self._stop + 1) % len(stops) if again else 0
        self.chosen.emit(found)
        if stops:
            self.frame_requested.emit(stops[self._stop])

    def _when_empty(self) -> str:
        return tr("Tag the touchdowns, then place body points on their frames to read posture.")

    def _fit(self) -> None:
        for row in range(self._posture.rowCount() if hasattr(self, "_posture") else 0):
            measure = self._posture.row(row) is not None
            self.setItemDelegateForRow(row, self._numbers if measure else self._words)
            spans = 1 if measure else self._posture.columnCount()
            if spans != self.columnSpan(row, 0):
                self.setSpan(row, 0, 1, spans)
        super()._fit()

    def _rows_to_copy(self, rows: list[int]) -> Rows:
        model = self._posture
        columns = range(model.columnCount())
        head = [tr("measure"), tr("unit")]
        for column in columns:
            head += with_error(model.column_name(column).lower())
        lines: list[list[Cell]] = [[*head]]
        for number in rows:
            row = model.row(number)
            if row is None:
                continue
            line: list[Cell] = [row.name, row.unit.symbol]
            for column in columns:
                found = model.reading(model.index(number, column))
                line += plain_cells(found.result if found is not None else None, row.unit)
            lines.append(line)
        return lines


def stops_of(found: PostureReading) -> list[int]:
    """The frames to look at, last event first: of frames that follow each other the last one; without a
    number those on which points are wanted.
    """
    frames = sorted({int(f) for f in found.frames} or {int(f) for f, _ in found.wanted})
    if not frames:
        return []
    ends = [one for one, other in pairwise(frames) if other > one + 1] + frames[-1:]
    return ends[::-1] if found.frames else frames
