"""The step table: the numbers of the rail, in rows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex
from PySide6.QtWidgets import QAbstractItemView, QWidget

from analysis.report.shifts import shifts_of
from analysis.report.step_columns import MEASURES
from analysis.report.words import side_word
from analysis.values.reading import Reading, StepReading
from analysis.values.words import tr
from app.copying import Cell, Rows, with_error
from app.run.number_table import NumberTable, plain_cells
from app.run.step_model import FIRST_MEASURE, StepModel


class StepTable(NumberTable):
    """One row a step; a click or Return goes to its touchdown, Ctrl+C copies rows with their uncertainty."""

    def __init__(self, parent: QWidget | None = None) -> None:
        steps = StepModel()
        super().__init__(steps, tr("Step table"), parent)
        steps.setParent(self)
        self._steps = steps
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        for column in range(FIRST_MEASURE, self._steps.columnCount()):
            self.setItemDelegateForColumn(column, self._numbers)
        self.verticalHeader().hide()
        self.horizontalHeader().setAccessibleName(tr("Measures"))
        self._fit()

    def show_reading(self, reading: Reading | None) -> None:
        """Show the steps of a reading."""
        before = self._steps.layout_key()
        self._steps.show_steps(reading.steps if reading else (), shifts_of(reading))
        if self._steps.layout_key() != before:
            self._fit()
        self.viewport().update()

    def set_frame(self, frame: int) -> None:
        """Mark the step during which the film's frame falls. Asks for no frame."""
        row = self._steps.row_at(frame)
        chosen = self.selectionModel().selectedRows()
        if row is None:
            if chosen:
                self.clearSelection()
        elif len(chosen) <= 1 and (
            not chosen or chosen[0].row() != row
        ):  # rows picked for copying stay picked
            flags = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
            self.selectionModel().setCurrentIndex(
                self._steps.index(row, max(self.currentIndex().column(), 0)), flags
            )

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_steps"):
            self._steps.refresh_colours()

    def _when_empty(self) -> str:
        return tr("No step yet. Mark a touchdown and the toe-off that ends it.")

    def _go(self, index: QModelIndex) -> None:
        touchdown = self._steps.step(index.row()).touchdown
        if touchdown is not None:
            self.frame_requested.emit(int(touchdown))

    def _rows_to_copy(self, rows: list[int]) -> Rows:
        head = [tr("step"), tr("side")]
        for column in MEASURES:
            head += with_error(f"{column.name.lower()} {column.unit.symbol}".strip())
        return [head, *(_cells(self._steps.step(row)) for row in rows)]


def _cells(step: StepReading) -> list[Cell]:
    """A row for a spreadsheet."""
    out: list[Cell] = [step.step, side_word(step.side)]
    for column in MEASURES:
        out += plain_cells(column.result(step), column.unit)
    return out
