"""Under the posture table: the cell in hand in a sentence, and a walk that places the points it wants."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QPushButton, QSizePolicy, QWidget

from analysis.values.posture import PostureReading
from analysis.values.reading import Reading
from analysis.values.run import Side
from analysis.values.words import tr
from app.marking.wanted import Ask, Wish, cost_words, key_of, stops_for, wishes
from app.theme.tokens import Space


class WantedRow(QWidget):
    """One line, so that the table does not jump; hidden while it has nothing to say or to offer.

    Attributes: ``place`` begins the walk for the cell in hand, else for what a few points tell first;
    ``more`` offers the other groups of measures.

    Signals:
        walk_requested(Ask): the measures whose points are to be placed.

    """

    walk_requested = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._words = ""
        self._cell = ""
        self._found: PostureReading | None = None
        self._reading: Reading | None = None
        self._wishes: tuple[Wish, ...] = ()
        self._ask = Ask()
        self._label = QLabel(self)
        self._label.setProperty("role", "caption")
        self._label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.place = QPushButton(tr("Place them"), self)
        self.place.clicked.connect(self._asked)
        self.more = QPushButton(tr("More"), self)
        self.more.setAccessibleName(tr("Points for other measures"))
        self._menu = QMenu(self.more)
        self.more.setMenu(self._menu)
        row = QHBoxLayout(self)
        row.setContentsMargins(Space.WIDE, Space.TIGHT, Space.WIDE, Space.TIGHT)
        row.setSpacing(Space.BASE)
        row.addWidget(self._label, 1)
        row.addWidget(self.place)
        row.addWidget(self.more)
        self.hide()

    @property
    def words(self) -> str:
        """All that the line says, also where it has no room for it."""
        return self._words

    def show_reading(self, reading: Reading | None) -> None:
        """What could be read too, with more points."""
        self._reading = reading
        self._wishes = wishes(reading) if reading is not None else ()
        self._menu.clear()
        for wish in self._wishes:
            action = QAction(f"{wish.title}: {self._cost(wish.ask)}", self._menu)
            action.setData(wish)
            action.triggered.connect(self._chosen)
            self._menu.addAction(action)
        self._say()

    def show_cell(self, found: PostureReading | None, words: str) -> None:
        """The cell in hand, as a sentence; None for none."""
        self._found, self._cell = found, words
        self._say()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._write()

    def _say(self) -> None:
        first = self._wishes[0] if self._wishes else None
        if self._found is not None:
            found = self._found
            closer = bool(found.closer) and not found.wanted
            keys = (key_of(found),) if found.wanted or closer else ()
            self._words, self._ask = self._cell, Ask(keys, closer=closer)
        elif first is not None:
            self._words, self._ask = f"{first.title}: {self._cost(first.ask)}.", first.ask
        else:
            self._words, self._ask = "", Ask()
        self.place.setVisible(bool(self._ask.keys))
        self.place.setToolTip(self._words)
        self.place.setAccessibleName(tr("Place the points for: {what}").format(what=self._words))
        self.more.setVisible(bool(self._wishes))
        self.setVisible(bool(self._words))
        self._label.setToolTip(self._words)
        self._write()

    def _cost(self, ask: Ask) -> str:
        return cost_words(stops_for(self._reading, ask, Side.RIGHT))

    def _write(self) -> None:
        metrics = self._label.fontMetrics()
        room = self._label.width()
        self._label.setText(metrics.elidedText(self._words, Qt.TextElideMode.ElideRight, room))

    @Slot()
    def _asked(self) -> None:
        self.walk_requested.emit(self._ask)

    @Slot()
    def _chosen(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.walk_requested.emit(action.data().ask)
