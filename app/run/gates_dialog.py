"""Times from timing gates beside the splits of films: a table comes in, a time is typed, rows go out."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from analysis.jobs.gates import gates_of_table
from analysis.jobs.runs import first_taggings
from analysis.reading.gates import gate_days
from analysis.report.page_season import GATE_CAUTION
from analysis.report.words import SECONDS, explanation, number_text
from analysis.values.errors import CinderlaneError
from analysis.values.estimate import Result
from analysis.values.gate import GateDay, GateTime
from analysis.values.reading import Reading
from analysis.values.words import tr, tr_count
from app import asking
from app.bench import Bench, Look
from app.copying import copyable
from app.marking.gates import add_gate, drop_gates
from app.run.section_view import said
from app.theme.tokens import Space

COLUMNS = (
    *(tr("athlete"), tr("day"), tr("distance, m"), tr("gate, s"), tr("film, s")),
    *(tr("gate less film, s"), tr("film from front toe-off, s"), tr("gate less that, s")),
)


class GatesDialog(QDialog):
    """Not modal: films tagged beside it change what stands here. Delete takes the chosen rows out."""

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._looks: dict[str, Look | None] = {}
        self._shown: tuple[GateTime, ...] = ()
        self.setWindowTitle(tr("Times from gates"))
        self.setModal(False)
        self.resize(1000, 520)
        self.words = said("", "caption", wrap=True)
        self.told = said("", "caption", wrap=True)
        self.table = _Table(self)
        self.bring = QPushButton(tr("Open a table…"), self)
        self.bring.setToolTip(tr("A CSV file with the columns date, athlete, distance_m, time_s"))
        self.bring.clicked.connect(self._import)
        column = QVBoxLayout(self)
        column.setSpacing(Space.BASE)
        column.addWidget(self.words)
        column.addWidget(self.table, 1)
        column.addWidget(self.told)
        column.addLayout(self._entry())
        bench.run_changed.connect(self._fill)
        bench.runs_changed.connect(self._fill)
        bench.stack.indexChanged.connect(self._fill)
        self._fill()

    def _entry(self) -> QHBoxLayout:
        self.athlete = QComboBox(self)
        self.athlete.setAccessibleName(tr("Athlete"))
        self.day, self.distance, self.time = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        row = QHBoxLayout()
        row.addWidget(self.athlete, 1)
        for field, name in (
            (self.day, tr("Day, year-month-day")),
            (self.distance, tr("Distance, m")),
            (self.time, tr("Time, s")),
        ):
            field.setAccessibleName(name)
            field.setPlaceholderText(name)
            field.returnPressed.connect(self._add)
            row.addWidget(field, 1)
        self.add = QPushButton(tr("Add this time"), self)
        self.add.clicked.connect(self._add)
        for button in (self.add, self.bring):
            button.setAutoDefault(False)
            row.addWidget(button)
        return row

    @Slot()
    def _fill(self) -> None:
        project = self._bench.project
        gates = project.gates.values()
        self._shown = tuple(sorted(gates, key=lambda g: (g.date, g.athlete_id, g.distance_m, g.id)))
        against = {(d.athlete_id, d.day, d.distance_m): d for d in gate_days(self._shown, self._readings())}
        self.table.setRowCount(len(self._shown))
        for row, gate in enumerate(self._shown):
            code = project.athletes[gate.athlete_id].code
            self._fill_row(row, gate, code, against[gate.athlete_id, gate.date, gate.distance_m])
        chosen = self.athlete.currentData()
        self.athlete.clear()
        for one in sorted(project.athletes.values(), key=lambda a: a.code):
            self.athlete.addItem(one.code, one.id)
        self.athlete.setCurrentIndex(max(0, self.athlete.findData(chosen)))
        self.words.setText(
            GATE_CAUTION
            if self._shown
            else tr(
                "No time yet. Open a table with the columns date, athlete, distance and time, or type one "
                "below. It joins the athlete's history and stands here beside the split of that day's "
                "films."
            )
        )

    def _fill_row(self, row: int, gate: GateTime, code: str, day: GateDay) -> None:
        whole = [code, gate.date, f"{gate.distance_m:g}", f"{gate.time_s:.2f}"]
        many = tr_count("Mean of {count} film of that day", "Mean of {count} films of that day", day.runs)
        if len(day.times_s) > 1:
            words = tr("; the difference is that of the day's {count} gate times' mean")
            many += words.format(count=len(day.times_s))
        for column, text in enumerate(whole):
            self._put(row, column, text, gate.note)
        numbers = (day.film_s, day.difference_s, day.film_off_s, day.difference_off_s)
        for column, number in enumerate(numbers, start=len(whole)):
            text = number_text(number, SECONDS, with_unit=False)
            self._put(row, column, text, _hint(number, many.format(count=day.runs)))

    def _put(self, row: int, column: int, text: str, hint: str) -> None:
        item = QTableWidgetItem(text)
        item.setToolTip(hint)
        item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
        self.table.setItem(row, column, item)

    def _readings(self) -> list[Reading]:
        """Of the runs of athletes who have a time; what has not changed is not read anew."""
        whose = {gate.athlete_id for gate in self._shown}
        runs = [run for run in first_taggings(self._bench.project) if run.athlete_id in whose]
        self._looks = {run.id: self._bench.look(run.id, self._looks.get(run.id)) for run in runs}
        return [
            look.reading for look in self._looks.values() if look is not None and look.reading is not None
        ]

    @Slot()
    def _add(self) -> None:
        typed = self.athlete.currentData(), self.day.text(), self.distance.text(), self.time.text()
        if self._bench.attempt(lambda: add_gate(self._bench.project, *typed)):
            self.told.setText("")
            self.time.clear()
            self.time.setFocus()

    @Slot()
    def _import(self) -> None:
        path = asking.table_to_open(self)
        if path is None:
            return
        try:
            command, faults = gates_of_table(self._bench.project, path)
        except CinderlaneError as error:
            self.told.setText(str(error))
            return
        if command.changes:
            self._bench.attempt(lambda: command)
        count = len(command.changes)
        came = tr_count("{count} time came in.", "{count} times came in.", count).format(count=count)
        self.told.setText("\n".join((came, *faults)))

    def take_out(self, rows: set[int]) -> None:
        """The times of these rows go."""
        ids = [self._shown[row].id for row in rows]
        if ids:
            self._bench.attempt(lambda: drop_gates(self._bench.project, ids))


class _Table(QTableWidget):
    """Delete asks for the chosen rows to go."""

    def __init__(self, dialog: GatesDialog) -> None:
        super().__init__(0, len(COLUMNS), dialog)
        self._dialog = dialog
        self.setAccessibleName(tr("Times from gates"))
        self.setHorizontalHeaderLabels(list(COLUMNS))
        self.verticalHeader().setVisible(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        copyable(self)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the chosen times out."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._dialog.take_out({index.row() for index in self.selectedIndexes()})
        else:
            super().keyPressEvent(event)


def _hint(number: Result, many: str) -> str:
    return "\n".join((explanation(number, SECONDS), many))
