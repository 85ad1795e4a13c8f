"""The library as a list that can be searched; a drill is dragged onto the day, or Return puts it there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QMimeData, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from analysis.values.drill import Drill
from analysis.values.questions import QUESTION_NAMES, Question
from analysis.values.words import tr
from app.theme.tokens import Space

DRILL_MIME = "application/x-cinderlane-drill"
_ID = Qt.ItemDataRole.UserRole


class _List(QListWidget):
    """Hands over the id of a drill when it is dragged."""

    taken = Signal()

    def mimeData(self, items: Sequence[QListWidgetItem]) -> QMimeData:
        """What a drag carries."""
        data = QMimeData()
        for item in items:
            data.setData(DRILL_MIME, str(item.data(_ID)).encode())
        return data

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Return takes the drill."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem() is not None:
            self.taken.emit()
        else:
            super().keyPressEvent(event)


class DrillList(QWidget):
    """Drills by name, those of one question or all.

    Signals:
        shown(str): the drill whose words are wanted.
        taken(str): this drill shall stand on the day.
    """

    shown = Signal(str)
    taken = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._drills: Mapping[str, Drill] = {}
        self.search = QLineEdit(self)
        self.search.setAccessibleName(tr("Search the drills"))
        self.search.setPlaceholderText(tr("Search the drills"))
        self.search.setClearButtonEnabled(True)
        for clear in self.search.findChildren(QToolButton):
            clear.setAccessibleName(tr("Clear the search"))
        self.question = QComboBox(self)
        self.question.setAccessibleName(tr("Drills for which question"))
        self.question.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.question.setMinimumContentsLength(12)
        self.question.addItem(tr("for every question"), None)
        for question, name in QUESTION_NAMES.items():
            self.question.addItem(tr("for {question}").format(question=name), question)
        self.list = _List(self)
        self.list.setAccessibleName(tr("Drills"))
        self.list.setDragEnabled(True)
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.list.setWordWrap(True)
        self.list.setProperty("role", "rows")
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        for part in (self.search, self.question, self.list):
            column.addWidget(part)
        self.search.textChanged.connect(self._fill)
        self.question.activated.connect(self._fill)
        self.list.currentItemChanged.connect(self._current)
        self.list.itemDoubleClicked.connect(self._take)
        self.list.taken.connect(self._take)

    def show_drills(self, drills: Mapping[str, Drill]) -> None:
        """Offer these."""
        if drills != self._drills:
            self._drills = dict(drills)
            self._fill()

    @property
    def current(self) -> str:
        """The drill at hand; empty where there is none."""
        return str(self.list.currentIndex().data(_ID) or "")

    @Slot()
    def _fill(self) -> None:
        before, asked = self.current, asked_question(self.question)
        words = self.search.text().strip().casefold()
        self.list.clear()
        for drill in self._drills.values():
            if (asked is None or asked in drill.questions) and words in _searched(drill):
                item = QListWidgetItem(f"{drill.name} *" if drill.own else drill.name, self.list)
                item.setData(_ID, drill.id)
                item.setToolTip(drill.purpose)
                if drill.id == before:
                    self.list.setCurrentItem(item)

    @Slot()
    def _current(self) -> None:
        if self.current:
            self.shown.emit(self.current)

    @Slot()
    def _take(self) -> None:
        if self.current:
            self.taken.emit(self.current)


def asked_question(field: QComboBox) -> Question | None:
    """The question that a field shows; Qt keeps its word only."""
    data = field.currentData()
    return None if data is None else Question(data)


def _searched(drill: Drill) -> str:
    return " ".join((drill.name, drill.purpose, drill.set_up, *drill.parts)).casefold()
