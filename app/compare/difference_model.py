"""The measures of two runs as a table for Qt's views: value, value, difference, what can be said."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from analysis.reading.key_names import key_name
from analysis.report.words import digits, unit_shown
from analysis.values.comparison import CHANGE_WORDS, CLAIM_WORDS, Compared
from analysis.values.estimate import Result
from analysis.values.words import tr
from app.run.number_cells import Cell, line_up, number_cell

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole
COLUMNS = 4


class DifferenceModel(QAbstractTableModel):
    """A row a measure; read only."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Compared, ...] = ()
        self._names = ("", "")
        self._cells: list[list[Cell]] = []

    def show_rows(self, rows: Sequence[Compared], names: tuple[str, str]) -> None:
        """Show these; ``names``: of both runs."""
        if tuple(rows) == self._rows and names == self._names:
            return
        self.beginResetModel()
        self._rows, self._names = tuple(rows), names
        self._cells = [_cells(row, names) for row in self._rows]
        for column in range(COLUMNS - 1):
            line_up([line[column] for line in self._cells])
        self.endResetModel()

    @property
    def run_names(self) -> tuple[str, str]:
        """Whose numbers stand in the first two columns."""
        return self._names

    def row(self, number: int) -> Compared:
        """The measure of a row."""
        return self._rows[number]

    def name(self, number: int) -> str:
        """What a row is called, with its unit."""
        key = self._rows[number].key
        unit, words = unit_shown(key.measure).symbol, key_name(key)
        return f"{words[:1].upper()}{words[1:]}" + (f", {unit}" if unit else "")

    def rowCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else COLUMNS

    def data(self, index: _Index, role: int = _Role.DisplayRole) -> object:
        return self._cells[index.row()][index.column()].get(int(role)) if index.isValid() else None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole) -> object:
        if role not in (_Role.DisplayRole, _Role.AccessibleTextRole):
            return None
        if orientation is Qt.Orientation.Vertical:
            return self.name(section)
        return (*self._names, tr("difference"), tr("what can be said"))[section]


def said_of(row: Compared) -> str:
    """What can be said of a measure, in few words."""
    if row.change is not None:
        return tr("changed: {way}").format(way=CHANGE_WORDS[row.change])
    return CLAIM_WORDS[row.claim]


def _cells(row: Compared, names: tuple[str, str]) -> list[Cell]:
    unit = unit_shown(row.key.measure)
    places = max(digits(row.before, unit), digits(row.after, unit), digits(row.difference, unit))
    name = key_name(row.key)

    def cell(result: Result, of: str) -> Cell:
        return number_cell(f"{name}, {of}", result, unit, places)

    said = said_of(row)
    why = [said]
    if row.least is not None:
        why.append(
            tr("A change counts from {least:.3g} {unit} on ({rests_on}).").format(
                least=row.least * unit.factor, unit=unit.symbol, rests_on=row.rests_on
            )
        )
    words = ". ".join(why)
    verdict: Cell = {
        int(_Role.DisplayRole): said,
        int(_Role.ToolTipRole): words,
        int(_Role.AccessibleTextRole): f"{name}: {words}",
    }
    return [
        cell(row.before, names[0]),
        cell(row.after, names[1]),
        cell(row.difference, tr("difference")),
        verdict,
    ]
