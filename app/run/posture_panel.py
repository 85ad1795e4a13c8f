"""The posture table with a line under it that says the cell in hand as a sentence."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from analysis.values.posture import PostureReading
from analysis.values.reading import Reading
from app.run.posture_table import PostureTable
from app.theme.tokens import Space


class PosturePanel(QWidget):
    """Attributes: ``table`` the posture table.

    Signals:
        frame_requested(int): a frame that a measure rests on, or that wants a point.
        chosen(PostureReading): the measure that was clicked.

    """

    frame_requested = Signal(int)
    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self._words = ""
        self.table = PostureTable(self)
        self._said = QLabel(self)
        self._said.setProperty("role", "caption")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self._said)
        self._said.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._said.setContentsMargins(Space.WIDE, Space.TIGHT, Space.WIDE, Space.TIGHT)
        self._said.hide()
        self.table.looked_at.connect(self._looked_at)
        self.table.frame_requested.connect(self.frame_requested)
        self.table.chosen.connect(self.chosen)

    def show_reading(self, reading: Reading | None) -> None:
        """Show the posture of a reading."""
        self.table.show_reading(reading)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._write()

    @Slot(object, str)
    def _looked_at(self, found: PostureReading | None, words: str) -> None:
        self._words = words
        self._said.setToolTip(words)
        self._said.setVisible(found is not None)
        self._write()

    def _write(self) -> None:
        """In one line, so that the table does not jump from cell to cell; the tooltip has all of it."""
        room = self.width() - 2 * Space.WIDE
        metrics = self._said.fontMetrics()
        self._said.setText(metrics.elidedText(self._words, Qt.TextElideMode.ElideRight, room))
