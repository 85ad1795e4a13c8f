"""The steps of a reading as a table for Qt's views."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from analysis.values.estimate import Result
from analysis.values.reading import StepReading
from analysis.values.words import tr
from app.run.columns import MEASURES
from app.theme.apply import current_theme
from app.words import common_digits, error_text, explanation, side_letter, side_word, spoken, value_text

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole

STEP, SIDE, FIRST_MEASURE = 0, 1, 2

ERROR_ROLE = int(_Role.UserRole) + 1
"""The uncertainty's text, for the delegate, which writes it fainter than the value."""

WIDEST_ERROR_ROLE = int(_Role.UserRole) + 2
"""The longest uncertainty in the column: behind it every value of the column ends in one line."""


class StepModel(QAbstractTableModel):
    """One row a step, one column a measure; read only."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._steps: tuple[StepReading, ...] = ()
        self._digits: tuple[int, ...] = (0,) * len(MEASURES)
        self._widest: tuple[str, ...] = ("",) * len(MEASURES)

    def show_steps(self, steps: tuple[StepReading, ...]) -> None:
        """Show these steps; rows stay where their number stays, so that a selection survives an edit."""
        if len(steps) == len(self._steps):
            self._take(steps)
            if steps:
                self.dataChanged.emit(self.index(0, 0), self.index(len(steps) - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._take(steps)
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
        step = self._steps[index.row()]
        if index.column() >= FIRST_MEASURE:
            return self._measure(step, index.column() - FIRST_MEASURE, role)
        return _step_or_side(step, index.column(), role)

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
            return tr("Step") if section == STEP else tr("Side")
        return None

    def refresh_colours(self) -> None:
        """The theme changed: ask for the colours again."""
        if self._steps:
            self.dataChanged.emit(self.index(0, SIDE), self.index(len(self._steps) - 1, SIDE))

    def _take(self, steps: tuple[StepReading, ...]) -> None:
        self._steps = steps
        self._digits = tuple(common_digits((c.result(s) for s in steps), c.unit) for c in MEASURES)
        self._widest = tuple(
            max((error_text(c.result(s), c.unit, n) for s in steps), key=len, default="")
            for c, n in zip(MEASURES, self._digits, strict=True)
        )

    def _measure(self, step: StepReading, number: int, role: int) -> object:
        column, digits = MEASURES[number], self._digits[number]
        result: Result = column.result(step)
        if role == _Role.DisplayRole:
            return value_text(result, column.unit, digits)
        if role == _Role.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role == _Role.AccessibleTextRole:
            name = tr("Step {step}, {measure}").format(step=step.step, measure=column.name.lower())
            return spoken(name, result, column.unit)
        words = {
            ERROR_ROLE: error_text(result, column.unit, digits),
            WIDEST_ERROR_ROLE: self._widest[number],
            int(_Role.ToolTipRole): explanation(result, column.unit),
        }
        return words.get(int(role))


def _step_or_side(step: StepReading, column: int, role: int) -> object:
    if role == _Role.DisplayRole:
        return str(step.step) if column == STEP else side_letter(step.side)
    if role == _Role.TextAlignmentRole:
        return Qt.AlignmentFlag.AlignCenter
    if role in (_Role.AccessibleTextRole, _Role.ToolTipRole):
        return tr("Step {step}, {side}").format(step=step.step, side=side_word(step.side))
    if role == _Role.ForegroundRole and column == SIDE:
        return QColor(current_theme().side(step.side).text)
    return None
