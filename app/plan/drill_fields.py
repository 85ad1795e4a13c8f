"""Fields of a drill's form: several of a few, a range, lines of words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QLabel, QPlainTextEdit, QWidget

from analysis.values.drill import Block, Part, Span
from analysis.values.questions import Question
from analysis.values.words import tr
from app.plan.day_form import number_field
from app.theme.tokens import Space

_ACROSS = 3


class Several(QWidget):
    """Boxes to check, one for each of ``words``."""

    def __init__(
        self, words: Mapping[Question, str] | Mapping[Block, str] | Mapping[Part, str], parent: QWidget
    ) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        self.boxes: dict[str, QCheckBox] = {}
        self._before: tuple[str, ...] = ()
        for place, (kind, name) in enumerate(words.items()):
            self.boxes[kind] = QCheckBox(name, self)
            grid.addWidget(self.boxes[kind], *divmod(place, _ACROSS))

    @property
    def chosen(self) -> tuple[str, ...]:
        """What is checked: what was before in the order that it had, the rest after it."""
        kept = [one for one in self._before if self.boxes[one].isChecked()]
        return (*kept, *(one for one, box in self.boxes.items() if box.isChecked() and one not in kept))

    def choose(self, kinds: Iterable[str]) -> None:
        """Check these."""
        self._before = tuple(kinds)
        for kind, box in self.boxes.items():
            box.setChecked(kind in self._before)


class Range(QWidget):
    """From a number to a number."""

    def __init__(self, name: str, most: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.least = number_field(self, 0, most, "", "")
        self.most = number_field(self, 0, most, "", "")
        self.least.setAccessibleName(tr("{name}, from").format(name=name))
        self.most.setAccessibleName(tr("{name}, to").format(name=name))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(Space.BASE)
        row.addWidget(self.least)
        row.addWidget(QLabel(tr("to"), self))
        row.addWidget(self.most)
        row.addStretch(1)

    @property
    def span(self) -> Span:
        """What stands there."""
        return Span(float(self.least.value()), float(self.most.value()))

    def show_span(self, span: Span) -> None:
        """Show a range."""
        self.least.setValue(round(span.least))
        self.most.setValue(round(span.most))


class Lines(QPlainTextEdit):
    """Words over a few lines; Tab goes on to the next field."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)
        self.setFixedHeight(4 * self.fontMetrics().lineSpacing())

    @property
    def lines(self) -> tuple[str, ...]:
        """One entry a line; empty ones left out."""
        return tuple(line.strip() for line in self.toPlainText().splitlines() if line.strip())
