"""The table of differences: a click goes to the step on the film in hand, Ctrl+C copies for a spreadsheet."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QRect, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QStyledItemDelegate, QWidget

from analysis.reading.key_names import key_name
from analysis.report.words import unit_shown
from analysis.values.words import tr, tr_count
from app.compare.measure_model import MeasureLine, MeasureModel
from app.copying import Cell, Rows, with_error
from app.run.number_table import NumberTable, plain_cells
from app.theme.apply import sized
from app.theme.tokens import Space, Type

_MOST_LETTERS = 22
"""So wide is a name at most, in letters, and over several lines where it is longer: the numbers need room."""
_WRAPPED = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap


class MeasureTable(NumberTable):
    """Signals: step_requested(int): the step of the measure that was chosen; 0 for the start push."""

    step_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        self.rows = MeasureModel()
        super().__init__(self.rows, tr("Differences"), parent)
        self.rows.setParent(self)
        self.held_back = 0  # so many lines are there and not on show
        self._words = QStyledItemDelegate(self)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.verticalHeader().setDefaultAlignment(_WRAPPED)
        self.rows.modelReset.connect(self._fit)
        self._fit()

    def whole_width(self) -> int:
        """What all columns need, with the bar that scrolls the rows."""
        bar = self.verticalScrollBar().sizeHint().width()
        inner = self.verticalHeader().width() + self.horizontalHeader().length()
        return inner + bar + 2 * self.frameWidth()

    def _go(self, index: QModelIndex) -> None:
        step = self.rows.row(index.row()).key.step
        if step is not None:
            self.step_requested.emit(step)

    def _fit(self) -> None:
        for column in range(self.rows.columnCount()):
            words = column == self.rows.said_at
            self.setItemDelegateForColumn(column, self._words if words else self._numbers)
        super()._fit()
        metrics = QFontMetrics(sized(self.verticalHeader().font(), Type.CAPTION))
        widths = [metrics.horizontalAdvance(self.rows.name(row)) for row in range(self.rows.rowCount())]
        room = min(max(widths, default=0), _MOST_LETTERS * metrics.averageCharWidth())
        self.verticalHeader().setFixedWidth(room + 2 * Space.BASE)
        box = QRect(0, 0, room, 1000)
        for row, width in enumerate(widths):
            if width > room:
                high = metrics.boundingRect(box, int(_WRAPPED), self.rows.name(row)).height()
                self.setRowHeight(row, max(self.rowHeight(row), high + Space.BASE))

    def _when_empty(self) -> str:
        if not self.held_back:
            return tr("Nothing to show. Mark and tag both runs.")
        words = tr_count(
            "{count} number was compared, and none can be told apart. Tick Also what can't be told apart.",
            "{count} numbers were compared, and none can be told apart. Tick Also what can't be told apart.",
            self.held_back,
        )
        return words.format(count=self.held_back)

    def _rows_to_copy(self, rows: list[int]) -> Rows:
        head = [tr("measure"), tr("unit")]
        for name in self.rows.heads:
            head += with_error(" ".join(name.split()))
        return [[*head, tr("what can be said")], *(_cells(self.rows.row(row)) for row in rows)]


def _cells(line: MeasureLine) -> list[Cell]:
    unit = unit_shown(line.key.measure)
    numbers = [cell for number in line.numbers for cell in plain_cells(number, unit)]
    return [key_name(line.key), unit.symbol, *numbers, line.said]
