"""One question: its verdict, its answer with the frames it rests on, and its measures when asked for."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from analysis.report.answer_words import QUESTION_TITLES, VERDICT_WORDS
from analysis.values.answers import Answer, Departure
from analysis.values.questions import Verdict
from analysis.values.words import tr
from app.marking.wanted import Ask, ask_of, cost_words
from app.run.answers.evidence_link import EvidenceLink
from app.run.answers.rows import measures_section
from app.run.link_button import LinkButton
from app.run.section_view import SectionView, said
from app.theme.tokens import Space


class AnswerView(QWidget):
    """Attributes: ``departures`` a line for each, or one for the answer where there is none, ``beside`` what
    is no verdict, ``more`` shows the measures.

    ``place`` begins the walk without which nothing can be told.

    Signals:
        frame_requested(int): a frame that something rests on.
        walk_requested(Ask): the measures whose points are to be placed.
    """

    frame_requested = Signal(int)
    walk_requested = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._answer: Answer | None = None
        self.title = said("", "heading", wrap=True)
        self.verdict = said("", "caption")
        self.departures: list[EvidenceLink] = []
        self.beside = said("", "caption", wrap=True)
        self.more = LinkButton(tr("Measures"), self)
        self.more.setCheckable(True)
        self.more.toggled.connect(self._show_measures)
        self.measures = SectionView(self)
        self.measures.frame_requested.connect(self.frame_requested)
        self._ask = Ask()
        self.place = LinkButton(tr("Place them"), self)
        self.place.clicked.connect(self._place)
        row = QHBoxLayout()
        row.setSpacing(Space.WIDE)
        row.addWidget(self.verdict)
        row.addWidget(self.more)
        row.addStretch(1)
        self._lines = QVBoxLayout()
        self._lines.setSpacing(Space.TIGHT)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.TIGHT)
        column.addWidget(self.title)
        column.addLayout(row)
        column.addLayout(self._lines)
        column.addWidget(self.place, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.beside)
        column.addWidget(self.measures)

    def show_answer(self, answer: Answer) -> None:
        """Show what a run says to the question."""
        if answer == self._answer:
            return
        self._answer = answer
        title = QUESTION_TITLES[answer.question]
        self.title.setText(title)
        self.verdict.setText(VERDICT_WORDS[answer.verdict])
        self.verdict.setProperty("role", "number" if answer.verdict is Verdict.OUTSIDE else "caption")
        self.verdict.style().polish(self.verdict)
        self.more.setAccessibleName(tr("Measures of: {question}").format(question=title))
        whole = Departure(answer.question, answer.sentence, (), answer.frames)
        self._show_lines(answer.departures or (whole,))
        self._offer(answer)
        self.beside.setText(answer.beside)
        self.beside.setVisible(bool(answer.beside))
        self._show_measures()

    def _offer(self, answer: Answer) -> None:
        """One click begins the walk that would let the question be judged."""
        self._ask, stops = ask_of(answer)
        self.place.setVisible(bool(stops))
        if stops:
            words = tr("The other side's points: {cost}") if self._ask.closer else tr("Place them: {cost}")
            self.place.setText(words.format(cost=cost_words(stops)))
            self.place.setAccessibleName(f"{QUESTION_TITLES[answer.question]} {self.place.text()}")

    def _show_lines(self, departures: tuple[Departure, ...]) -> None:
        for old in self.departures:
            old.hide()
            old.deleteLater()
        self.departures = [EvidenceLink(one.sentence, one.frames, self) for one in departures]
        for link in self.departures:
            link.frame_requested.connect(self.frame_requested)
            self._lines.addWidget(link)
            link.show()

    @Slot()
    def _place(self) -> None:
        self.walk_requested.emit(self._ask)

    @Slot()
    def _show_measures(self) -> None:
        answer = self._answer if self.more.isChecked() else None
        self.measures.show_section(None if answer is None else measures_section(answer))
