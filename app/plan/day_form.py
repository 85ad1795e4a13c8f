"""What a day is about: date, athletes, question, minutes, stations, notes."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QDate, Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QGridLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QSpinBox,
    QWidget,
)

from analysis.plan.wording import QUESTION_WORDS
from analysis.values.day_plan import DayPlan
from analysis.values.project import Project
from analysis.values.words import tr
from app.plan.drill_list import asked_question
from app.theme.tokens import Space

MOST_MINUTES = 240
MOST_STATIONS = 9
_ACROSS = 4
_ISO = Qt.DateFormat.ISODate


class DayForm(QWidget):
    """Each field is one edit when it is left.

    Signals: changed(DayPlan): the day shall be this.
    """

    changed = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._plan: DayPlan | None = None
        self._filling = False
        self.date = QDateEdit(self)
        self.date.setDisplayFormat("yyyy-MM-dd")
        self.date.setCalendarPopup(True)
        self.athletes = QPushButton(self)
        self._menu = QMenu(self.athletes)
        self.athletes.setMenu(self._menu)
        self.question = QComboBox(self)
        self.question.addItem(tr("no question"), None)
        for question, words in QUESTION_WORDS.items():
            self.question.addItem(words, question)
        self.minutes = number_field(self, 0, MOST_MINUTES, tr("no limit"), tr(" min"))
        self.minutes.setSingleStep(5)
        self.stations = number_field(self, 1, MOST_STATIONS, "", "")
        self.notes = QLineEdit(self)
        self.notes.setPlaceholderText(tr("What else is to be minded"))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.BASE)
        grid.setColumnStretch(_ACROSS, 1)
        fields: tuple[tuple[str, str, QWidget], ...] = (
            (tr("Date"), tr("The day of the session"), self.date),
            (tr("Question"), tr("What the day works on"), self.question),
            (tr("Athletes"), tr("Who trains on this day"), self.athletes),
            (tr("Time"), tr("How long the drills may take, warm-up left out"), self.minutes),
            (tr("Stations"), tr("How many drills of a block run side by side in a group"), self.stations),
            (tr("Notes"), tr("They stand on the day's page"), self.notes),
        )
        for place, (words, help_text, part) in enumerate(fields):
            part.setAccessibleName(words)
            part.setToolTip(help_text)
            row, column = divmod(2 * place, _ACROSS)
            grid.addWidget(QLabel(words, self), row, column)
            grid.addWidget(
                part, row, column + 1, 1, 2 if part is self.notes else 1
            )  # as wide as there is room
        self.date.dateChanged.connect(self._take)
        self.question.activated.connect(self._take)
        for field in (self.minutes, self.stations):
            field.setKeyboardTracking(False)
            field.valueChanged.connect(self._take)
        self.notes.editingFinished.connect(self._take)

    def show_plan(self, plan: DayPlan | None, project: Project) -> None:
        """Show a day; None: nothing can be said."""
        self._filling, self._plan = True, plan
        self.setEnabled(plan is not None)
        day = plan or DayPlan("", "", (), None)
        date = QDate.fromString(day.date, _ISO)
        self.date.setDate(date if date.isValid() else QDate.currentDate())
        self.question.setCurrentIndex(self.question.findData(day.question))
        self.minutes.setValue(round(day.minutes or 0))
        self.stations.setValue(day.stations)
        self.notes.setText(day.notes)
        self._menu.clear()
        for athlete in sorted(project.athletes.values(), key=lambda one: one.code):
            action = QAction(athlete.code, self._menu)
            action.setCheckable(True)
            action.setChecked(athlete.id in day.athlete_ids)
            action.setData(athlete.id)
            action.toggled.connect(self._take)
            self._menu.addAction(action)
        codes = [project.athletes[one].code for one in day.athlete_ids if one in project.athletes]
        self.athletes.setText(", ".join(codes) or tr("nobody named"))
        self.athletes.setEnabled(bool(project.athletes))
        self._filling = False

    @Slot()
    def _take(self) -> None:
        if self._filling or self._plan is None:
            return
        chosen = tuple(str(action.data()) for action in self._menu.actions() if action.isChecked())
        self.changed.emit(
            replace(
                self._plan,
                date=self.date.date().toString(_ISO),
                athlete_ids=chosen,
                question=asked_question(self.question),
                minutes=float(self.minutes.value()) or None,
                stations=self.stations.value(),
                notes=self.notes.text().strip(),
            )
        )


def number_field(parent: QWidget, least: int, most: int, special: str, suffix: str) -> QSpinBox:
    """A field for a whole number; its least shows as ``special``, where that says something."""
    field = QSpinBox(parent)
    field.setRange(least, most)
    field.setSpecialValueText(special)
    field.setSuffix(suffix)
    return field
