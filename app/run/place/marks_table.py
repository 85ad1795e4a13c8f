"""The table of marks: what each row says, and what was typed into it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from analysis.report.words import MISSING
from analysis.values.errors import MarkError
from analysis.values.reading import MarkReading
from analysis.values.run import GroundMark
from analysis.values.typed import typed_number
from analysis.values.words import tr
from app.copying import copyable

MOST_ROWS = 8
_ROOM_PX = 4


@dataclass(frozen=True)
class Column:
    """One column: the mark's field, its heading and what it means."""

    field: str
    heading: str
    help: str


COLUMNS = (
    Column("x_m", tr("along\nm"), tr("Distance along the running line")),
    Column("y_m", tr("up\nm"), tr("Height above the ground")),
    Column(
        "z_m", tr("nearer\nm"), tr("How far beside the line, nearer to the camera; beyond the line negative")
    ),
    Column("error_m", tr("about\nm"), tr("How well the distance itself is known; 0 for a taped one")),
    Column("error_px", tr("click\npx"), tr("How well the place was clicked")),
    Column("", tr("off\npx"), tr("How far the mark lies from where all marks together put it")),
)


class MarksTable(QTableWidget):
    """A table in which Delete asks for the row to go, and a digit begins a new number.

    Signals:
        delete_asked(int): of this row.
    """

    delete_asked = Signal(int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.setAccessibleName(tr("Marks of known distance"))
        for place, column in enumerate(COLUMNS):
            heading = QTableWidgetItem(column.heading)
            heading.setToolTip(column.help)
            self.setHorizontalHeaderItem(place, heading)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setMinimumSectionSize(24)
        self.verticalHeader().setVisible(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        copyable(self)

    def event(self, event: QEvent) -> bool:
        """A digit typed here is a number, not the key of a command."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.ShortcutOverride:
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
            if plain and event.text() and event.text() in "0123456789-.,":
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete the row that is selected."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.currentRow() >= 0:
            self.delete_asked.emit(self.currentRow())
        else:
            super().keyPressEvent(event)

    def fill(self, marks: tuple[GroundMark, ...], lent: frozenset[str], off: dict[str, MarkReading]) -> None:
        """A row for each mark; ``lent``: those of the camera place; ``off``: how far each is off the map."""
        self.setRowCount(len(marks))
        for row, mark in enumerate(marks):
            for place, column in enumerate(COLUMNS):
                item = _residual(off.get(mark.id)) if not column.field else _number_item(mark, column)
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                if mark.id in lent and column.field:
                    font = item.font()
                    font.setItalic(True)
                    item.setFont(font)
                    item.setToolTip(tr("Of the camera place: a change here serves all its films"))
                self.setItem(row, place, item)
        rows = min(MOST_ROWS, len(marks))
        tall = sum(self.rowHeight(row) for row in range(rows))
        self.setMinimumHeight(self.horizontalHeader().sizeHint().height() + tall + _ROOM_PX)


def _number_item(mark: GroundMark, column: Column) -> QTableWidgetItem:
    return QTableWidgetItem(f"{getattr(mark, column.field):g}")


def _residual(off: MarkReading | None) -> QTableWidgetItem:
    item = QTableWidgetItem(MISSING if off is None else f"{math.hypot(off.du_px, off.dv_px):.1f}")
    item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
    item.setToolTip(
        tr("This mark does not serve for the map.")
        if off is None
        else tr("{sigmas:.1f} times its own error").format(sigmas=off.sigmas)
    )
    return item


def number_of(text: str, field: str) -> float:
    """What was typed. Raises MarkError, with a sentence, where it is no number that can be right there."""
    number = typed_number(text, "m")
    if math.isnan(number):
        raise MarkError(
            tr("{text} is no number. Write metres such as 5 or 2.5.").format(text=text or MISSING)
        )
    least = {"error_px": 0.1, "error_m": 0.0}.get(field, -1000.0)
    if not least <= number <= 1000.0:
        raise MarkError(tr("{text} can't be right here. Write a number that was measured.").format(text=text))
    return number
