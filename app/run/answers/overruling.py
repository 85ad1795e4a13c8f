"""The coach's own word on where it began: a question and a reason, kept beside what the program says."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QLineEdit, QVBoxLayout, QWidget

from analysis.values.questions import QUESTION_NAMES, Overruling, Question
from analysis.values.words import tr
from app.run.link_button import LinkButton
from app.run.section_view import said
from app.theme.tokens import Space


class OverrulingForm(QWidget):
    """Folded away until the coach sees it otherwise.

    Signals: said_otherwise(Overruling | None): the coach's word, or that it is taken back.
    """

    said_otherwise = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._run_id = ""
        self._coach: Overruling | None = None
        self.words = said("", "", wrap=True)
        self.open = LinkButton(tr("I see it otherwise"), self)
        self.open.setCheckable(True)
        self.question = QComboBox(self)
        self.question.setAccessibleName(tr("Where it began, as the coach sees it"))
        for question, name in QUESTION_NAMES.items():
            self.question.addItem(tr("It began with {question}").format(question=name), question)
        self.question.addItem(tr("Nothing went wrong"), None)
        self.reason = QLineEdit(self)
        self.reason.setAccessibleName(tr("Why"))
        self.reason.setPlaceholderText(tr("Why? Return keeps it"))
        self.back = LinkButton(tr("Take my word back"), self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.TIGHT)
        left = Qt.AlignmentFlag.AlignLeft
        column.addWidget(self.words)
        column.addWidget(self.open, 0, left)
        column.addWidget(self.question)
        column.addWidget(self.reason)
        column.addWidget(self.back, 0, left)
        self.open.toggled.connect(self._toggled)
        self.reason.returnPressed.connect(self._keep)
        self.back.clicked.connect(self._take_back)
        self._say(None)
        self._fold()

    def show_word(self, coach: Overruling | None, run_id: str = "") -> None:
        """Show the coach's word, if there is one. What is being written stays open, unless the word itself
        is another one now, or it is of another run.
        """
        if (run_id, coach) != (self._run_id, self._coach):
            self._run_id, self._coach = run_id, coach
            self._say(coach)
            self._fold()

    def _fold(self) -> None:
        self.reason.clear()
        self.open.setChecked(False)
        self._toggled(False)

    def _say(self, coach: Overruling | None) -> None:
        if coach is None:
            self.words.setText("")
        else:
            began = tr("nothing went wrong") if coach.question is None else QUESTION_NAMES[coach.question]
            self.words.setText(tr("The coach: {began}. {reason}").format(began=began, reason=coach.reason))
        self.words.setVisible(coach is not None)
        self.back.setVisible(coach is not None)

    @Slot(bool)
    def _toggled(self, shown: bool) -> None:
        self.question.setVisible(shown)
        self.reason.setVisible(shown)
        if shown:
            self.question.setFocus()

    @Slot()
    def _keep(self) -> None:
        reason = self.reason.text().strip()
        if reason:
            data = self.question.currentData()
            word = Overruling(None if data is None else Question(data), reason)
            if word == self._coach:
                self._fold()  # it stands there already
            else:
                self.said_otherwise.emit(word)

    @Slot()
    def _take_back(self) -> None:
        self.said_otherwise.emit(None)
