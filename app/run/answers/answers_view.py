"""Where it began, the four questions in the order of the chain, and what would settle what is open."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout, QWidget

from analysis.values.answers import Settling, Unsaid
from analysis.values.questions import Question
from analysis.values.reading import Reading
from analysis.values.run import Side
from analysis.values.words import listed, tr
from app.marking.planning import planned_question
from app.marking.wanted import Ask, asks_among, cost_words, stops_for
from app.run.answers.answer_view import AnswerView
from app.run.answers.overruling import OverrulingForm
from app.run.link_button import LinkButton
from app.run.section_view import empty, said
from app.theme.tokens import Space


class AnswersView(QWidget):
    """Attributes: ``cause`` the sentence that stands first, ``answers`` a view for each question.

    Signals:
        frame_requested(int): a frame that something rests on.
        walk_requested(Ask): the measures whose points would settle something.
        said_otherwise(Overruling | None): the coach's own word.
        plan_requested(): what to do about it.
        facts_requested(Unsaid): a fact that was taken for granted, to be said.
    """

    frame_requested = Signal(int)
    walk_requested = Signal(object)
    said_otherwise = Signal(object)
    plan_requested = Signal()
    facts_requested = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wanted: dict[QPushButton, Ask] = {}
        self._shown: tuple[Settling, ...] | None = None
        self.cause = said("", "", wrap=True)
        self.unsaid = LinkButton(tr("Say it"), self)
        self.unsaid.clicked.connect(self._say)
        self._unsaid: tuple[Unsaid, ...] = ()
        self.coach = OverrulingForm(self)
        self.coach.said_otherwise.connect(self.said_otherwise)
        self.plan = QPushButton(tr("Plan a day for it"), self)
        self.plan.clicked.connect(self.plan_requested)
        self.settling = QFrame(self)
        self._settling = QVBoxLayout(self.settling)
        self._settling.setContentsMargins(0, 0, 0, 0)
        self._settling.setSpacing(Space.TIGHT)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.SECTION)
        first = QVBoxLayout()
        first.setSpacing(Space.TIGHT)
        first.addWidget(said(tr("Where it began"), "heading", wrap=True))
        first.addWidget(self.cause)
        first.addWidget(self.unsaid, 0, Qt.AlignmentFlag.AlignLeft)
        first.addWidget(self.coach)
        first.addWidget(self.plan, 0, Qt.AlignmentFlag.AlignLeft)  # else it would bound the words' width
        column.addLayout(first)
        self.answers = {question: AnswerView(self) for question in Question}
        for view in self.answers.values():
            view.frame_requested.connect(self.frame_requested)
            view.walk_requested.connect(self.walk_requested)
            column.addWidget(view)
        column.addWidget(self.settling)
        self.hide()

    def show_reading(self, reading: Reading | None) -> None:
        """Show what a run says; nothing without a reading."""
        cause = None if reading is None else reading.first_cause
        self.setVisible(cause is not None)
        if reading is None or cause is None:
            return
        self.cause.setText(cause.sentence)
        self._unsaid = cause.unsaid
        self.unsaid.setVisible(bool(cause.unsaid))
        if cause.unsaid:
            facts = listed([tr(fact.value) for fact in cause.unsaid])
            self.unsaid.say(tr("Say it: {facts}").format(facts=facts))
        self.coach.show_word(cause.coach, reading.about.run_id)
        self.plan.setVisible(planned_question(reading) is not None)
        for answer in reading.questions:
            self.answers[answer.question].show_answer(answer)
        if cause.would_change != self._shown:
            self._shown = cause.would_change
            self._show_settling(cause.would_change, reading)

    def _show_settling(self, settling: tuple[Settling, ...], reading: Reading) -> None:
        empty(self._settling)
        self._wanted.clear()
        self.settling.setVisible(bool(settling))
        if settling:
            self._add(said(tr("What would settle it"), "heading", wrap=True))
        for one in settling:
            self._add(said(one.sentence, "", wrap=True))
            ask = asks_among(reading, one.wanted)
            if ask is not None:
                self._add_link(self._button(one, ask, cost_words(stops_for(reading, ask, Side.RIGHT))))

    def _button(self, one: Settling, ask: Ask, cost: str) -> QPushButton:
        button = LinkButton(tr("Place them: {cost}").format(cost=cost), self.settling)
        button.setAccessibleName(f"{button.text()}. {one.sentence}")
        button.clicked.connect(self._asked)
        self._wanted[button] = ask
        return button

    def _add_link(self, link: QPushButton) -> None:
        self._settling.addWidget(link, 0, Qt.AlignmentFlag.AlignLeft)
        link.show()

    def _add(self, part: QWidget) -> None:
        self._settling.addWidget(part)
        part.show()

    @Slot()
    def _say(self) -> None:
        if self._unsaid:
            self.facts_requested.emit(self._unsaid[0])

    @Slot()
    def _asked(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton) and button in self._wanted:
            self.walk_requested.emit(self._wanted[button])
