"""The posture table with a line under it: the cell in hand in a sentence, and the points that it wants."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from analysis.values.reading import Reading
from app.run.posture_table import PostureTable
from app.run.wanted_row import WantedRow


class PosturePanel(QWidget):
    """Attributes: ``table`` the posture table, ``wanted`` the line under it.

    Signals:
        frame_requested(int): a frame that a measure rests on, or that wants a point.
        chosen(PostureReading): the measure that was clicked.
        walk_requested(Ask): the measures whose points are to be placed.

    """

    frame_requested = Signal(int)
    chosen = Signal(object)
    walk_requested = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self.table = PostureTable(self)
        self.wanted = WantedRow(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.wanted)
        self.table.looked_at.connect(self.wanted.show_cell)
        self.table.frame_requested.connect(self.frame_requested)
        self.table.chosen.connect(self.chosen)
        self.wanted.walk_requested.connect(self.walk_requested)

    def show_reading(self, reading: Reading | None) -> None:
        """Show the posture of a reading."""
        self.table.show_reading(reading)
        self.wanted.show_reading(reading)
