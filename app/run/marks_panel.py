"""The marks of known place as a table whose distances can be changed, and where the camera stood."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFormLayout,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from analysis.values.command import Command, Kind
from analysis.values.errors import MarkError
from analysis.values.run import GroundMark, Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking import placing
from app.run.metres import MetresField
from app.selection import PartRef

_COLUMNS = ("x_m", "y_m", "error_px")


class _MarksTable(QTableWidget):
    """A table in which Delete asks for the row to go, and a digit begins a new number.

    Signals:
        delete_asked(int): of this row.
    """

    delete_asked = Signal(int)

    def event(self, event: QEvent) -> bool:
        """A digit typed here is a number, not the key of a command."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.ShortcutOverride:
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
            if plain and event.text() and event.text() in "0123456789-.,":
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete the row that is selected."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.currentRow() >= 0:
            self.delete_asked.emit(self.currentRow())
        else:
            super().keyPressEvent(event)


class MarksPanel(QWidget):
    """Shows and changes the marks of the run at hand."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._filling = False
        self.table = _MarksTable(0, 3, self)
        self.table.setAccessibleName(tr("Marks of known distance"))
        self.table.setHorizontalHeaderLabels([tr("along, m"), tr("up, m"), tr("error, px")])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setVisible(False)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.itemChanged.connect(self._changed)
        self.table.itemSelectionChanged.connect(self._selected)
        self.table.delete_asked.connect(self._delete)
        self.empty = QLabel(
            tr("No marks yet. With Mark of known distance click a cone where it meets the ground."),
            self,
        )
        self.empty.setWordWrap(True)
        self.camera = MetresField(tr("Distance from the camera to the running line"), 0.0, 100.0, 1, self)
        self.camera.setToolTip(tr("Measured from the camera to the running line; 0 where nobody measured it"))
        self.camera.setSpecialValueText(tr("not measured"))
        self.camera.valueChanged.connect(self._camera_changed)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(tr("Camera to line"), self.camera)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.addWidget(self.empty)
        layout.addWidget(self.table, 1)
        layout.addLayout(form)
        bench.run_changed.connect(self.show_run)
        bench.selection_changed.connect(self._show_selected)
        self.show_run(bench.run)

    def show_run(self, run: Run | None) -> None:
        """Fill the table from a run."""
        self._filling = True
        marks = run.marks if run is not None else ()
        self.table.setRowCount(len(marks))
        for row, mark in enumerate(marks):
            for column, name in enumerate(_COLUMNS):
                item = QTableWidgetItem(f"{getattr(mark, name):g}")
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.table.setItem(row, column, item)
        self.empty.setVisible(not marks)
        self.table.setVisible(bool(marks))
        self.camera.setEnabled(run is not None)
        self.camera.setValue((run.camera_distance_m or 0.0) if run is not None else 0.0)
        self._filling = False
        self._show_selected()

    @Slot()
    def _show_selected(self) -> None:
        """The row of the mark that is selected on the picture; a changed distance may have moved it."""
        run, selected = self._bench.run, self._bench.selected
        ids = [mark.id for mark in run.marks] if run is not None else []
        self._filling = True
        if isinstance(selected, PartRef) and selected.kind is Kind.MARK and selected.id in ids:
            row = ids.index(selected.id)
            if row != self.table.currentRow() or not self.table.selectedItems():
                self.table.setCurrentCell(row, max(0, self.table.currentColumn()))
        else:
            self.table.clearSelection()
        self._filling = False

    def _mark(self, row: int) -> GroundMark | None:
        run = self._bench.run
        return run.marks[row] if run is not None and 0 <= row < len(run.marks) else None

    def _changed(self, item: QTableWidgetItem) -> None:
        run, mark = self._bench.run, self._mark(item.row())
        if self._filling or run is None or mark is None:
            return
        name, text = _COLUMNS[item.column()], item.text()

        def change() -> Command:
            told: dict[str, Any] = {name: _number(text, name)}
            return placing.change_mark(run, mark, replace(mark, **told))

        if not self._bench.attempt(change):
            self.show_run(self._bench.run)

    def _selected(self) -> None:
        mark = self._mark(self.table.currentRow())
        if not self._filling and mark is not None and self.table.selectedItems():
            self._bench.select(PartRef(Kind.MARK, mark.id))

    def _delete(self, row: int) -> None:
        run, mark = self._bench.run, self._mark(row)
        if run is not None and mark is not None:
            self._bench.attempt(lambda: placing.delete_part(run, Kind.MARK, mark.id))

    def _camera_changed(self, distance: float) -> None:
        run = self._bench.run
        if self._filling or run is None:
            return
        new = replace(run, camera_distance_m=distance or None)
        self._bench.attempt(lambda: placing.change_run(run, new, tr("Camera distance")))


def _number(text: str, name: str) -> float:
    try:
        number = float(text.replace(",", ".").replace("m", "").strip())
    except ValueError:
        raise MarkError(
            tr("{text} is no number. Write metres such as 5 or 2.5.").format(text=text or "–")
        ) from None
    least = 0.1 if name == "error_px" else -1000.0
    if not least <= number <= 1000.0:
        raise MarkError(tr("{text} can't be right here. Write a number that was measured.").format(text=text))
    return number
