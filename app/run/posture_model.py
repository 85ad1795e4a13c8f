"""The measures of posture as a table for Qt's views: a row a measure, a column a step."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QFont

from analysis.report.posture_rows import QUESTIONS, PostureCells, PostureRow, Question
from analysis.report.words import common_digits, side_letter, side_word
from analysis.values.estimate import NoValue
from analysis.values.posture import PostureReading
from analysis.values.words import tr, tr_count
from app.run.number_cells import QUIET_ROLE, WIDEST_ERROR_ROLE, Cell, line_up, number_cell

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole


class PostureModel(QAbstractTableModel):
    """Rows of measures under the heading of their question; read only. Without a step it has no rows."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lines: list[Question | PostureRow] = []
        self._cells = PostureCells(())
        self._shown: list[list[Cell]] = []

    def show_posture(self, posture: tuple[PostureReading, ...]) -> None:
        """Show these measures; rows and columns stay where their number stays."""
        cells = PostureCells(posture)
        same = bool(self._lines) and cells.steps == self._cells.steps
        if not same:
            self.beginResetModel()
        self._take(cells)
        if not same:
            self.endResetModel()
        elif self._lines:
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1))

    def reading(self, index: _Index) -> PostureReading | None:
        """What stands in a cell."""
        row = self.row(index.row()) if index.isValid() else None
        return None if row is None else self._cells.at(row, self._cells.steps[index.column()])

    def row(self, number: int) -> PostureRow | None:
        """The measure of a row; None for a heading."""
        line = self._lines[number]
        return line if isinstance(line, PostureRow) else None

    def words(self, index: _Index) -> str:
        """A cell as a sentence."""
        return str(self.data(index, _Role.AccessibleTextRole) or "")

    def rowCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._cells.steps)

    def data(self, index: _Index, role: int = _Role.DisplayRole) -> object:
        if not index.isValid() or not index.row() < len(self._shown):
            return None
        return self._shown[index.row()][index.column()].get(int(role))

    def flags(self, index: _Index) -> Qt.ItemFlag:
        if not index.isValid() or self.reading(index) is None:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemNeverHasChildren

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole) -> object:
        if orientation is Qt.Orientation.Horizontal:
            return self._over_column(section, role) if section < len(self._cells.steps) else None
        return self._beside_row(self._lines[section], role) if section < len(self._lines) else None

    def _beside_row(self, line: Question | PostureRow, role: int) -> object:
        if role in (_Role.DisplayRole, _Role.AccessibleTextRole):
            return line.title if isinstance(line, Question) else line.header
        if role == _Role.ToolTipRole and isinstance(line, PostureRow):
            return f"{line.name}: {line.help}"
        if role == _Role.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if role == _Role.FontRole and isinstance(line, Question):
            return _bold()
        return None

    def column_name(self, section: int) -> str:
        """A step in words."""
        step = self._cells.steps[section]
        if step == 0:
            return tr("Start")
        return tr("Step {step}, {side}").format(step=step, side=side_word(self._cells.stands.get(step)))

    def layout_key(self) -> tuple[object, ...]:
        """The rows, and lengths of the longest texts of each column: while they stay, so do the widths."""
        texts = (int(_Role.DisplayRole), WIDEST_ERROR_ROLE)
        widths = [
            max(len(str(row[n].get(role, ""))) for row in self._shown for role in texts)
            for n in range(self.columnCount() if self._shown else 0)
        ]
        return (*self._lines, *widths)

    def _over_column(self, section: int, role: int) -> object:
        step = self._cells.steps[section]
        side = self._cells.stands.get(step)
        if role == _Role.DisplayRole:
            letter = "" if side is None else side_letter(side)
            return tr("Start") if step == 0 else f"{step} {letter}".strip()
        if role in (_Role.ToolTipRole, _Role.AccessibleTextRole):
            return self.column_name(section)
        if role == _Role.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def _take(self, cells: PostureCells) -> None:
        self._cells = cells
        self._lines = []
        self._shown = []
        if not cells.steps:
            return
        for question in QUESTIONS:
            rows = [row for row in question.rows if any(cells.at(row, step) for step in cells.steps)]
            if not rows:
                continue
            self._lines += [question, *rows]
            # it lies across all columns, so that its own is not made wide for it
            asks: Cell = {int(_Role.DisplayRole): question.asks, int(_Role.SizeHintRole): QSize(1, 1)}
            self._shown.append([asks, *({} for _ in cells.steps[1:])])
            self._shown += [self._row(row) for row in rows]
        measures = [row for row, line in zip(self._shown, self._lines, strict=True) if line not in QUESTIONS]
        for column in range(len(cells.steps)):
            line_up([row[column] for row in measures])

    def _row(self, row: PostureRow) -> list[Cell]:
        found = [self._cells.at(row, step) for step in self._cells.steps]
        digits = common_digits([one.result for one in found if one is not None], row.unit)
        shown: list[Cell] = []
        for column, one in enumerate(found):
            if one is None:
                shown.append({})
                continue
            name, told = f"{self.column_name(column)}, {row.name}", standing_words(one)
            cell = number_cell(name, one.result, row.unit, digits, told)
            if told:
                cell[QUIET_ROLE] = one.guessed
            shown.append(cell)
        return shown


def _bold() -> QFont:
    font = QFont()
    font.setBold(True)
    return font


def standing_words(one: PostureReading) -> str:
    """What a number rests on that was not seen, or what placing its points would cost."""
    if isinstance(one.result, NoValue):
        if not one.wanted:
            return ""
        clicks = len(one.wanted)
        return tr_count("That is {n} click.", "That is {n} clicks.", clicks).format(n=clicks)
    said = []
    if one.guessed:
        said.append(tr("A point was hidden and is guessed."))
    if one.partial:
        said.append(tr("Partial: a part of the body or a second frame is missing."))
    if one.closer:
        n = len(one.closer)
        more = tr_count("The other side's point is {n} click.", "The other side's points are {n} clicks.", n)
        said.append(more.format(n=n))
    return " ".join(said)
