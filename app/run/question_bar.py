"""Over the film: a question about it with its answers. It waits in its place and stops nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from app.theme.tokens import Space


@dataclass(frozen=True)
class Answer:
    """What a button says and does; ``act`` is a method, of an object that lives as long as the bar."""

    words: str
    act: Callable[[], object]


class QuestionBar(QFrame):
    """One question at a time; hidden while there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "panel")
        self._sentence = ""
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.buttons: list[QPushButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        self._row.setSpacing(Space.BASE)
        self._row.addWidget(self.words, 1)
        self.hide()

    def ask(self, sentence: str, answers: Sequence[Answer] = ()) -> None:
        """Ask this; nothing where there is no answer to be given."""
        if sentence == self._sentence and len(answers) == len(self.buttons):
            return
        self._sentence = sentence
        for button in self.buttons:
            self._row.removeWidget(button)
            button.deleteLater()
        self.buttons = []
        self.words.setText(sentence)
        self.setAccessibleName(sentence)
        for answer in answers:
            button = QPushButton(answer.words, self)
            button.clicked.connect(answer.act)
            self._row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
            self.buttons.append(button)
        self.setVisible(bool(answers))
