"""A drill in the coach's own words: one that came with the program, changed, or one of their own."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from analysis.plan.wording import AFTER_WORDS, BLOCK_WORDS, PART_WORDS, QUESTION_WORDS
from analysis.values.drill import Block, Dose, Drill, Part, RestAfter
from analysis.values.errors import CinderlaneError
from analysis.values.questions import Question
from analysis.values.words import tr
from app.bench import Bench
from app.marking import planning
from app.plan.drill_fields import Lines, Range, Several
from app.run.section_view import said

MOST_SETS, MOST_REPS, MOST_REST_S = 20, 60, 900


class DrillDialog(QDialog):
    """Every field of a drill; kept as one edit. What can't be is said here, and the form stays.

    Signals: kept(str): the drill of this id is kept.
    """

    kept = Signal(str)

    def __init__(self, bench: Bench, drill: Drill, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._drill = bench, drill
        self.setWindowTitle(drill.name or tr("A drill of your own"))
        self.resize(640, 680)
        self._fields()
        self._lay_out()
        self._show()

    def _fields(self) -> None:
        self.name, self.load, self.source = (QLineEdit(self) for _ in range(3))
        self.easier, self.harder = QLineEdit(self), QLineEdit(self)
        self.questions = Several(QUESTION_WORDS, self)
        self.blocks = Several(BLOCK_WORDS, self)
        self.parts = Several(PART_WORDS, self)
        self.sets = Range(tr("Sets"), MOST_SETS, self)
        self.reps = Range(tr("Repetitions"), MOST_REPS, self)
        self.rest = Range(tr("Rest, s"), MOST_REST_S, self)
        self.after = QComboBox(self)
        for after, words in AFTER_WORDS.items():
            self.after.addItem(words, after)
        self.rep_s, self.sprint_m = _decimal(600.0, self), _decimal(100.0, self)
        self.purpose, self.set_up, self.defer = Lines(self), Lines(self), Lines(self)
        self.look_for, self.faults, self.cautions = Lines(self), Lines(self), Lines(self)
        self.experienced = QCheckBox(tr("for experienced athletes only; never proposed"), self)

    def _lay_out(self) -> None:
        inner = QWidget(self)
        form = QFormLayout(inner)
        rows: tuple[tuple[str, QWidget], ...] = (
            (tr("Name"), self.name),
            (tr("Serves"), self.questions),
            (tr("Stands in"), self.blocks),
            (tr("Holds"), self.parts),
            (tr("Purpose"), self.purpose),
            (tr("Set-up"), self.set_up),
            (tr("Sets"), self.sets),
            (tr("Repetitions"), self.reps),
            (tr("Rest, s"), self.rest),
            (tr("Rest comes"), self.after),
            (tr("Load"), self.load),
            (tr("Who says so"), self.source),
            (tr("One repetition, s"), self.rep_s),
            (tr("Flat out in it, m"), self.sprint_m),
            (tr("Look for, one a line"), self.look_for),
            (tr("Faults, one a line"), self.faults),
            (tr("Easier"), self.easier),
            (tr("Harder"), self.harder),
            (tr("Mind, one a line"), self.cautions),
            (tr("Who leaves it out"), self.defer),
            ("", self.experienced),
        )
        for words, field in rows:
            if words:
                field.setAccessibleName(words)
            form.addRow(words, field)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setWidget(inner)
        self.error = said("", "error", wrap=True)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Save | kinds.Cancel, self)
        self.keep = self.buttons.button(kinds.Save)
        self.keep.setText(tr("Keep the drill"))
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.area, 1)
        column.addWidget(self.error)
        column.addWidget(self.buttons)

    def _show(self) -> None:
        drill, dose = self._drill, self._drill.dose
        self.name.setText(drill.name)
        self.name.selectAll()
        self.questions.choose(drill.questions)
        self.blocks.choose(drill.blocks)
        self.parts.choose(drill.parts)
        for area, words in (
            (self.purpose, drill.purpose),
            (self.set_up, drill.set_up),
            (self.defer, drill.defer),
        ):
            area.setPlainText(words)
        for area, lines in (
            (self.look_for, drill.look_for),
            (self.faults, drill.faults),
            (self.cautions, drill.cautions),
        ):
            area.setPlainText("\n".join(lines))
        for row, span in ((self.sets, dose.sets), (self.reps, dose.reps), (self.rest, dose.rest_s)):
            row.show_span(span)
        self.after.setCurrentIndex(self.after.findData(dose.rest_after))
        self.load.setText(dose.load)
        self.source.setText(dose.source)
        self.rep_s.setValue(drill.rep_s)
        self.sprint_m.setValue(drill.sprint_m)
        self.easier.setText(drill.easier)
        self.harder.setText(drill.harder)
        self.experienced.setChecked(drill.experienced)

    def _told(self) -> Drill:
        dose = Dose(
            self.sets.span,
            self.reps.span,
            self.rest.span,
            RestAfter(self.after.currentData()),
            self.load.text().strip(),
            self.source.text().strip(),
        )
        return replace(
            self._drill,
            name=self.name.text().strip(),
            questions=tuple(map(Question, self.questions.chosen)),
            blocks=tuple(map(Block, self.blocks.chosen)),
            parts=tuple(map(Part, self.parts.chosen)),
            purpose=self.purpose.toPlainText().strip(),
            set_up=self.set_up.toPlainText().strip(),
            dose=dose,
            rep_s=self.rep_s.value(),
            sprint_m=self.sprint_m.value(),
            look_for=self.look_for.lines,
            faults=self.faults.lines,
            easier=self.easier.text().strip(),
            harder=self.harder.text().strip(),
            cautions=self.cautions.lines,
            defer=self.defer.toPlainText().strip(),
            experienced=self.experienced.isChecked(),
        )

    @Slot()
    def _keep(self) -> None:
        try:
            self._bench.edit(planning.keep_drill(self._bench.project, self._told()))
        except CinderlaneError as error:
            self.error.setText(str(error))
            return
        self.kept.emit(self._drill.id)
        self.accept()


def _decimal(most: float, parent: QWidget) -> QDoubleSpinBox:
    field = QDoubleSpinBox(parent)
    field.setRange(0.0, most)
    field.setDecimals(1)
    return field
