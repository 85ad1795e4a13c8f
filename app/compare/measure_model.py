"""Measures of two runs or more as a table for Qt's views: numbers side by side, and what can be said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from analysis.reading.key_names import key_name
from analysis.report.words import digits, unit_shown
from analysis.values.comparison import MeasureKey
from analysis.values.estimate import Result
from analysis.values.words import capital, tr
from app.run.number_cells import Cell, line_up, number_cell

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole


@dataclass(frozen=True)
class MeasureLine:
    """One measure: its numbers, what can be said of them in few words, and why in a sentence more."""

    key: MeasureKey
    numbers: tuple[Result, ...]
    said: str
    why: str = ""


class MeasureModel(QAbstractTableModel):
    """A row a measure, a column a number, and one before or behind them for what can be said; read only."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[MeasureLine, ...] = ()
        self._heads: tuple[str, ...] = ()
        self._said_first = False
        self._cells: list[list[Cell]] = []

    def show_lines(
        self, lines: Sequence[MeasureLine], heads: Sequence[str], *, said_first: bool = False
    ) -> None:
        """Show these; ``heads``: over the numbers. ``said_first``: what can be said stands before them."""
        if (tuple(lines), tuple(heads), said_first) == (self._lines, self._heads, self._said_first):
            return
        self.beginResetModel()
        self._lines, self._heads, self._said_first = tuple(lines), tuple(heads), said_first
        self._cells = [_cells(line, self._heads) for line in self._lines]
        for column in range(len(self._heads)):
            line_up([cells[column] for cells in self._cells])
        for cells in self._cells:
            cells.insert(self.said_at, cells.pop())
        self.endResetModel()

    @property
    def said_at(self) -> int:
        """The column of what can be said."""
        return 0 if self._said_first else len(self._heads)

    @property
    def heads(self) -> tuple[str, ...]:
        """What stands over the numbers."""
        return self._heads

    def row(self, number: int) -> MeasureLine:
        """The measure of a row."""
        return self._lines[number]

    def name(self, number: int) -> str:
        """What a row is called, with its unit."""
        key = self._lines[number].key
        unit = unit_shown(key.measure).symbol
        return capital(key_name(key)) + (f", {unit}" if unit else "")

    def rowCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._heads) + 1

    def data(self, index: _Index, role: int = _Role.DisplayRole) -> object:
        return self._cells[index.row()][index.column()].get(int(role)) if index.isValid() else None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole) -> object:
        if orientation is Qt.Orientation.Vertical and role == _Role.ToolTipRole:
            return self.name(section)
        if role not in (_Role.DisplayRole, _Role.AccessibleTextRole):
            return None
        if orientation is Qt.Orientation.Vertical:
            return self.name(section)
        heads = list(self._heads)
        heads.insert(self.said_at, tr("what can be said"))
        return heads[section]


def _cells(line: MeasureLine, heads: Sequence[str]) -> list[Cell]:
    unit, name = unit_shown(line.key.measure), key_name(line.key)
    places = max((digits(number, unit) for number in line.numbers), default=0)
    numbers = [
        number_cell(f"{name}, {head}", number, unit, places)
        for number, head in zip(line.numbers, heads, strict=True)
    ]
    words = ". ".join(filter(None, (line.said, line.why)))
    verdict: Cell = {
        int(_Role.DisplayRole): line.said,
        int(_Role.ToolTipRole): words,
        int(_Role.AccessibleTextRole): f"{name}: {words}",
    }
    return [*numbers, verdict]
