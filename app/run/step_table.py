"""The step table: the numbers of the rail, in rows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from analysis.values.estimate import Estimate
from analysis.values.reading import Reading, StepReading
from analysis.values.words import tr
from app.run.columns import MEASURES
from app.run.number_delegate import NumberDelegate
from app.run.step_model import FIRST_MEASURE, StepModel
from app.theme.tokens import Space
from app.words import side_word


class StepTable(QTableView):
    """One row a step; a click or Return goes to its touchdown, Ctrl+C copies rows with their uncertainty.

    Signals:
        frame_requested(int): the touchdown of the step that the coach chose.

    """

    frame_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = StepModel(self)
        self._numbers = NumberDelegate(self)
        self.setModel(self._model)
        self.setAccessibleName(tr("Step table"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for column in range(FIRST_MEASURE, self._model.columnCount()):
            self.setItemDelegateForColumn(column, self._numbers)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setAccessibleName(tr("Measures"))
        header.setHighlightSections(False)
        header.setSectionsClickable(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.clicked.connect(self._go)
        self._fit()

    def show_reading(self, reading: Reading | None) -> None:
        """Show the steps of a reading."""
        before = self._model.layout_key()
        self._model.show_steps(reading.steps if reading else ())
        if self._model.layout_key() != before:
            self._fit()
        self.viewport().update()

    def set_frame(self, frame: int) -> None:
        """Mark the step during which the film's frame falls. Asks for no frame."""
        row = self._model.row_at(frame)
        chosen = self.selectionModel().selectedRows()
        if row is None:
            if chosen:
                self.clearSelection()
        elif len(chosen) <= 1 and (
            not chosen or chosen[0].row() != row
        ):  # rows picked for copying stay picked
            flags = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
            self.selectionModel().setCurrentIndex(
                self._model.index(row, max(self.currentIndex().column(), 0)), flags
            )

    def copy(self) -> None:
        """Put the selected rows, or all, on the clipboard, tab-separated, uncertainties in own columns."""
        rows = sorted(index.row() for index in self.selectionModel().selectedRows())
        QGuiApplication.clipboard().setText(self._as_text(rows or list(range(self._model.rowCount()))))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_numbers"):
            self._fit()
            self._model.refresh_colours()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._model.rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setPen(self.palette().placeholderText().color())
            box = self.viewport().rect().adjusted(Space.PAGE, 0, -Space.PAGE, 0)
            words = tr("No step yet. Mark a touchdown and the toe-off that ends it.")
            painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), words)
            painter.end()

    def _go(self, index: QModelIndex) -> None:
        touchdown = self._model.step(index.row()).touchdown
        if touchdown is not None:
            self.frame_requested.emit(int(touchdown))

    def _fit(self) -> None:
        self.resizeColumnsToContents()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + Space.BASE)

    def _as_text(self, rows: list[int]) -> str:
        head = [tr("step"), tr("side")]
        for column in MEASURES:
            name = f"{column.name.lower()} {column.unit.symbol}".strip()
            head += [name, tr("± {name}").format(name=name)]
        lines = [head] + [_cells(self._model.step(row)) for row in rows]
        return "\n".join("\t".join(line) for line in lines) + "\n"


def _cells(step: StepReading) -> list[str]:
    """A row for a spreadsheet: plain numbers, an empty cell where there is none."""
    out = [str(step.step), side_word(step.side)]
    for column in MEASURES:
        result = column.result(step)
        if isinstance(result, Estimate):
            out += [f"{number * column.unit.factor:.6g}" for number in (result.value, result.half_width)]
        else:
            out += ["", ""]
    return out
