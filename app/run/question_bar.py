"""Over the film: a question about it with its answers. It waits in its place and stops nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from app.theme.tokens import Space


@dataclass(frozen=True)
class Answer:
    """What a button says and does; ``act`` is a method, of an object that lives as long as the bar."""

    words: str
    act: Callable[[], object] = field(compare=False)


@dataclass(frozen=True)
class Question:
    """A sentence and its answers; without answers nothing is asked."""

    words: str = ""
    answers: tuple[Answer, ...] = ()


class QuestionBar(QFrame):
    """One question at a time; hidden while there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "panel")
        self._asked = Question()
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.buttons: list[QPushButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        self._row.setSpacing(Space.BASE)
        self._row.addWidget(self.words, 1)
        self.hide()

    def ask(self, question: Question) -> None:
        """Ask this, in the place of what was asked before."""
        if question == self._asked:
            return
        self._asked = question
        for button in self.buttons:
            self._row.removeWidget(button)
            button.deleteLater()
        self.buttons = []
        self.words.setText(question.words)
        self.setAccessibleName(question.words)
        for answer in question.answers:
            button = QPushButton(answer.words, self)
            button.clicked.connect(answer.act)
            self._row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
            self.buttons.append(button)
        self.setVisible(bool(question.answers))
