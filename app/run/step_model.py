"""The steps of a reading as a table for Qt's views."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from analysis.report.shifts import Shift
from analysis.report.step_columns import MEASURES, Column
from analysis.report.words import common_digits, side_letter, side_word
from analysis.values.reading import StepReading
from analysis.values.words import tr
from app.run.number_cells import WIDEST_ERROR_ROLE, Cell, line_up, number_cell
from app.theme.apply import current_theme

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_NO_SHIFTS: Mapping[tuple[str, int], Shift] = MappingProxyType({})
_Role = Qt.ItemDataRole

STEP, FIRST_MEASURE = 0, 1


class StepModel(QAbstractTableModel):
    """One row a step, one column a measure; read only."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._steps: tuple[StepReading, ...] = ()
        self._cells: list[list[Cell]] = []

    def show_steps(
        self, steps: tuple[StepReading, ...], shifts: Mapping[tuple[str, int], Shift] = _NO_SHIFTS
    ) -> None:
        """Show these steps, and how each stands to the one before (``analysis.report.shifts``).

        Rows stay where their number stays, so that a selection survives an edit.
        """
        if len(steps) == len(self._steps):
            self._take(steps, shifts)
            if steps:
                self.dataChanged.emit(self.index(0, 0), self.index(len(steps) - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._take(steps, shifts)
        self.endResetModel()

    def step(self, row: int) -> StepReading:
        """The step of a row."""
        return self._steps[row]

    def row_at(self, frame: int) -> int | None:
        """The row of the step during which a frame falls: the last whose touchdown is at or before it."""
        rows = [n for n, s in enumerate(self._steps) if s.touchdown is not None and s.touchdown <= frame]
        return rows[-1] if rows else None

    def rowCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._steps)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else FIRST_MEASURE + len(MEASURES)

    def data(self, index: _Index, role: int = _Role.DisplayRole) -> object:
        if not index.isValid() or not index.row() < len(self._steps):
            return None
        if role == _Role.ForegroundRole and index.column() == STEP:
            return QColor(current_theme().side(self._steps[index.row()].side).text)
        return self._cells[index.row()][index.column()].get(int(role))

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole) -> object:
        if orientation is Qt.Orientation.Vertical:
            return (
                str(self._steps[section].step)
                if role == _Role.DisplayRole and section < len(self._steps)
                else None
            )
        if section >= FIRST_MEASURE:
            column = MEASURES[section - FIRST_MEASURE]
            texts = {
                _Role.DisplayRole: column.header,
                _Role.ToolTipRole: f"{column.name}: {column.help}",
                _Role.AccessibleTextRole: f"{column.name} {column.unit.symbol}".strip(),
            }
            if role == _Role.TextAlignmentRole:
                return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
            return texts.get(_Role(role))
        if role == _Role.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
        if role in (_Role.DisplayRole, _Role.AccessibleTextRole):
            return tr("Step")
        return None

    def layout_key(self) -> tuple[tuple[int, int], ...]:
        """Lengths of the longest value and uncertainty of each column: while they stay, so do the widths."""
        return tuple(
            (
                max(len(str(row[n].get(int(_Role.DisplayRole)))) for row in self._cells),
                len(str(self._cells[0][n].get(WIDEST_ERROR_ROLE, ""))),
            )
            for n in range(self.columnCount() if self._cells else 0)
        )

    def refresh_colours(self) -> None:
        """The theme changed: ask for the colours again."""
        if self._steps:
            self.dataChanged.emit(self.index(0, STEP), self.index(len(self._steps) - 1, STEP))

    def _take(self, steps: tuple[StepReading, ...], shifts: Mapping[tuple[str, int], Shift]) -> None:
        self._steps = steps
        columns = [_column(steps, column, shifts) for column in MEASURES]
        self._cells = [[_step_and_side(step), *(c[n] for c in columns)] for n, step in enumerate(steps)]


def _step_and_side(step: StepReading) -> Cell:
    return {
        int(_Role.DisplayRole): f"{step.step} {side_letter(step.side)}",
        int(_Role.TextAlignmentRole): Qt.AlignmentFlag.AlignCenter,
        int(_Role.AccessibleTextRole): tr("Step {step}, {side}").format(
            step=step.step, side=side_word(step.side)
        ),
    }


def _column(
    steps: tuple[StepReading, ...], column: Column, shifts: Mapping[tuple[str, int], Shift]
) -> list[Cell]:
    """One measure of every step; their figures stand under each other."""
    results = [column.result(step) for step in steps]
    digits = common_digits(results, column.unit)
    cells = []
    for step, result in zip(steps, results, strict=True):
        name = tr("Step {step}, {measure}").format(step=step.step, measure=column.name.lower())
        shift = shifts.get((column.field, step.step))
        cells.append(number_cell(name, result, column.unit, digits, shift.sentence if shift else ""))
    line_up(cells)
    return cells
