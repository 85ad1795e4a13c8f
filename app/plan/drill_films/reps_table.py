"""The reps of a film as a table: sets, numbers and cues are typed in place, a frame is gone to."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from analysis.report.words import MISSING
from analysis.values.drill_film import EVENTS_OF, DrillEvent, DrillFilm, DrillRep
from analysis.values.words import tr
from app.copying import copyable
from app.marking.drilling import EVENT_WORDS

_REP, _FRAME, _ENDS = (Qt.ItemDataRole.UserRole + n for n in range(3))
TYPED = ("set_number", "number", "cue")


class RepsTable(QTableWidget):
    """A row a rep.

    Signals:
        changed(str, str, str): a rep's id, which of its fields, what was typed.
        frame_requested(int): the film shall show this frame.
        removed(str): a rep shall go.
    """

    changed = Signal(str, str, str)
    frame_requested = Signal(int)
    removed = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._filling = False
        self._fields: tuple[str, ...] = ()
        self.setAccessibleName(tr("Reps of the film"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.verticalHeader().setVisible(False)
        self.itemChanged.connect(self._item_changed)
        self.cellActivated.connect(self._activated)
        self.cellClicked.connect(self._activated)
        copyable(self)

    def show_film(self, film: DrillFilm | None, frame: int) -> None:
        """The reps of a film; the one that holds ``frame`` stands in bold."""
        self._filling = True
        events = () if film is None else EVENTS_OF[film.kind]
        heads = [tr("set"), tr("rep"), tr("frames"), *(_head(e) for e in events), tr("cue")]
        self._fields = ("set_number", "number", "frames", *events, "cue")
        self.setColumnCount(len(heads))
        self.setHorizontalHeaderLabels(heads)
        self.setRowCount(0 if film is None else len(film.reps))
        for row, rep in enumerate(() if film is None else film.reps):
            for column, field in enumerate(self._fields):
                self.setItem(row, column, _item(rep, field, here=rep.holds(frame)))
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        self._filling = False

    def set_frame(self, frame: int) -> None:
        """Say which rep the film shows."""
        self._filling = True
        for row in range(self.rowCount()):
            cells = [item for n in range(self.columnCount()) if (item := self.item(row, n)) is not None]
            begins, ends = cells[0].data(_ENDS)
            for item in cells:
                font = item.font()
                if font.bold() != (begins <= frame <= ends):
                    font.setBold(begins <= frame <= ends)
                    item.setFont(font)
        self._filling = False

    def event(self, event: QEvent) -> bool:
        """What is typed into a field is no key of a command."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.ShortcutOverride:
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
            typed = bool(event.text().strip()) and self.currentRow() >= 0
            if plain and typed and _EDITABLE in self.currentItem().flags():
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the rep off the film."""
        item = self.currentItem()
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and item is not None:
            self.removed.emit(item.data(_REP))
        else:
            super().keyPressEvent(event)

    @Slot(QTableWidgetItem)
    def _item_changed(self, item: QTableWidgetItem) -> None:
        if not self._filling:
            self.changed.emit(item.data(_REP), self._fields[item.column()], item.text())

    @Slot(int, int)
    def _activated(self, row: int, column: int) -> None:
        item = self.item(row, column)
        frame = None if item is None else item.data(_FRAME)
        if frame is not None:
            self.frame_requested.emit(int(frame))


def _head(event: DrillEvent) -> str:
    """The set position, told from the set that a rep belongs to."""
    return tr("still") if event is DrillEvent.SET else EVENT_WORDS[event]


_EDITABLE = Qt.ItemFlag.ItemIsEditable


def _item(rep: DrillRep, field: str, *, here: bool) -> QTableWidgetItem:
    item = QTableWidgetItem()
    frame = None
    if field in TYPED:
        item.setText({"set_number": str(rep.set_number), "number": str(rep.number), "cue": rep.cue}[field])
    else:
        frames = [rep.first] if field == "frames" else [f for event, f in rep.events if event.value == field]
        words = f"{rep.first}–{rep.last}" if field == "frames" else ", ".join(map(str, frames))
        item.setText(words or MISSING)
        frame = None if not frames else int(frames[0])
        item.setFlags(item.flags() & ~_EDITABLE)
        item.setToolTip(tr("A click goes to the frame.") if frames else tr("Not tagged yet."))
    if field != "cue":
        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    font = item.font()
    font.setBold(here)
    item.setFont(font)
    item.setData(_REP, rep.id)
    item.setData(_ENDS, (int(rep.first), int(rep.last)))
    item.setData(_FRAME, frame)
    return item
