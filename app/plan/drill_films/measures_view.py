"""The measures of a drill rep by rep: within a set, and across the sets of the day, as two views."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from analysis.reading.drills import DrillReading, across_sets, within_set
from analysis.reading.drills.sets import SetTable, Told, sets_of
from analysis.reading.key_names import key_name
from analysis.report.words import Unit, explanation, headed, number_text, unit_shown
from analysis.values.estimate import NoValue
from analysis.values.words import capital, tr
from app.copying import copyable
from app.theme.tokens import Space

_NAME_LETTERS = 17


class MeasuresView(QWidget):
    """A choice of view over a table: a measure a row, a rep or a set a column."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._readings: Sequence[DrillReading] = ()
        self.choice = QComboBox(self)
        self.choice.setAccessibleName(tr("Within a set or across sets"))
        self.choice.activated.connect(self._fill)
        self.table = QTableWidget(self)
        self.table.setAccessibleName(tr("Measures rep by rep"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setTabKeyNavigation(False)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        copyable(self.table)
        self.load = self._label()
        self.said = self._label()
        self.notes = self._label()
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.BASE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        for part in (self.choice, self.load):
            column.addWidget(part)
        column.addWidget(self.table, 1)
        for part in (self.said, self.notes):
            column.addWidget(part)

    def _label(self) -> QLabel:
        label = QLabel(self)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        return label

    def show_readings(self, readings: Sequence[DrillReading]) -> None:
        """Show the films of a drill; the view that was chosen stays, where it still is one."""
        self._readings = readings
        before = self.choice.currentData()
        sets = sets_of(readings)
        self.choice.clear()
        for number in sets:
            self.choice.addItem(tr("Within set {set}, rep by rep").format(set=number), number)
        if len(sets) > 1:
            self.choice.addItem(tr("Across the sets"), 0)
        place = self.choice.findData(before)
        self.choice.setCurrentIndex(max(place, 0))
        self.choice.setVisible(bool(sets))
        self._fill()

    @Slot()
    def _fill(self) -> None:
        number = self.choice.currentData()
        if number is None:
            table = SetTable((), {})
        else:
            table = within_set(self._readings, number) if number else across_sets(self._readings)
        self._show(table)
        self.load.setText(_load_words(self._readings))
        self.load.setVisible(bool(self.load.text()))
        self.said.setText(
            tr(
                "Under each number stands its difference from the first. It differs where it is beyond "
                "errors of measuring, at 5 % over the whole table; sets side by side also say whether it is "
                "more than reps vary."
            )
            if len(table.heads) > 1
            else tr("Two reps at least are held against each other.")
            if table.heads
            else tr("Cut the film's reps and tag their events: their measures stand here.")
        )
        notes = [
            f"{_head(one.rep.set_number, one.rep.number)}: {note}"
            for reading in self._readings
            for one in reading.reps
            for note in one.notes
        ]
        self.notes.setText("\n".join(dict.fromkeys(notes)))
        self.notes.setVisible(bool(notes))

    def _show(self, table: SetTable) -> None:
        self.table.setVisible(bool(table.heads))
        self.table.setColumnCount(len(table.heads))
        self.table.setHorizontalHeaderLabels([_head(*head) for head in table.heads])
        self.table.setRowCount(len(table.rows))
        for row, (key, cells) in enumerate(table.rows.items()):
            unit = unit_shown(key.measure)
            name = _over_lines(headed(capital(key_name(key)), unit))
            self.table.setVerticalHeaderItem(row, QTableWidgetItem(name))
            for column, told in enumerate(cells):
                item = QTableWidgetItem(_cell(told, unit))
                item.setToolTip(explanation(told.number, unit))
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
                if told.told:
                    font = item.font()
                    font.setBold(True)
                    item.setFont(font)
                self.table.setItem(row, column, item)


def _over_lines(name: str) -> str:
    """A name in short lines; its unit never stands alone on the last."""
    words, comma, unit = name.rpartition(", ")
    kept = f"{words},\N{NO-BREAK SPACE}{unit}" if comma else name
    return textwrap.fill(kept, _NAME_LETTERS)


def _head(number: int, rep: int) -> str:
    if rep:
        return tr("set {set}, rep {rep}").format(set=number, rep=rep)
    return tr("set {set}").format(set=number)


def _cell(told: Told, unit: Unit) -> str:
    lines = [number_text(told.number, unit, with_unit=False)]
    if told.count > 1:
        lines[0] += " " + tr("({count} reps)").format(count=told.count)
    if told.difference is not None and not isinstance(told.difference, NoValue):
        sign = "+" if told.difference.value > 0 else ""
        verdict = tr("differs") if told.told else tr("not told apart")
        if told.told and told.count > 1 and told.least is not None:
            verdict = tr("more than reps vary") if told.beyond else tr("as reps vary")
        lines.append(f"{sign}{number_text(told.difference, unit, with_unit=False)}")
        lines.append(verdict)
    return "\n".join(lines)


def _load_words(readings: Sequence[DrillReading]) -> str:
    loads = [reading.load for reading in readings if reading.load is not None]
    said = []
    for load in loads:
        words = tr("Load {kg:g} kg").format(kg=load.kg)
        if load.percent is not None:
            words += ", " + tr("{percent:.0f} % of body mass").format(percent=load.percent)
        said.append(words)
    return " · ".join(dict.fromkeys(said))
