"""The stops of a narration as a list: words typed in place, order changed by drag or keys."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QDropEvent, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from analysis.values.narration import Narration, Stop
from analysis.values.words import tr
from app.copying import copyable

FIELDS = ("place", "words", "hold_s", "speed_after")
_WORDS = FIELDS.index("words")
_ID = Qt.ItemDataRole.UserRole


class _Cells(QStyledItemDelegate):
    """Where a stop lies is told by the film, all else can be typed."""

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        """The usual field, but none for the place."""
        if index.column() == 0:
            return None  # type: ignore[return-value]
        return super().createEditor(parent, option, index)


class StopList(QTreeWidget):
    """One row a stop.

    Signals:
        chosen(str): this stop came to hand, by its id.
        changed(str, str, str): of a stop: field, and what was typed.
        moved(str, int): a stop shall stand at a place.
        stepped(str, int): a stop shall go up (-1) or down (1).
        removed(str): a stop shall go.
    """

    chosen = Signal(str)
    changed = Signal(str, str, str)
    moved = Signal(str, int)
    stepped = Signal(str, int)
    removed = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._filling = False
        self.setAccessibleName(tr("Stops of the narration"))
        self.setHeaderLabels([tr("stop"), tr("words"), tr("stands s"), tr("then ×")])
        self.setItemDelegate(_Cells(self))
        self.setRootIsDecorated(False)
        self.setProperty("role", "rows")
        self.setUniformRowHeights(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed)
        header = self.header()
        header.setStretchLastSection(False)
        for column in range(len(FIELDS)):
            stretch = column == _WORDS
            header.setSectionResizeMode(
                column,
                QHeaderView.ResizeMode.Stretch if stretch else QHeaderView.ResizeMode.ResizeToContents,
            )
        copyable(self)
        self.itemChanged.connect(self._typed)
        self.currentItemChanged.connect(self._current)

    @property
    def current(self) -> str:
        """The stop at hand, by its id; empty for none."""
        return str(self.currentIndex().siblingAtColumn(0).data(_ID) or "")

    def show_stops(self, narration: Narration | None, at_hand: str, place_of: Callable[[Stop], str]) -> None:
        """Show these stops, one of them at hand. ``place_of``: a stop's place along the film in words."""
        column = max(_WORDS, self.currentColumn())
        field = QApplication.focusWidget()
        typing = field is not None and field is not self and self.isAncestorOf(field)
        self._filling = True
        stops = () if narration is None else narration.stops
        if [stop.id for stop in stops] != [self._id(place) for place in range(self.topLevelItemCount())]:
            self.clear()
            self.addTopLevelItems([_item(stop) for stop in stops])
        for place, stop in enumerate(stops):  # in place: a row may not go while it is being typed into
            item = self.topLevelItem(place)
            assert item is not None
            _fill(item, place, stop, place_of(stop))
            if stop.id == at_hand:
                self.setCurrentItem(item, column)
        if typing:
            self.setFocus()  # else it would leave with the field that was typed in
        self._filling = False

    def _id(self, place: int) -> str:
        return str(self.model().index(place, 0).data(_ID))

    def dropEvent(self, event: QDropEvent) -> None:
        """Say what shall stand where; the list is shown anew when it is so."""
        held = self.current
        event.setDropAction(Qt.DropAction.IgnoreAction)  # the view must not move rows by itself
        event.accept()
        where = event.position().toPoint()
        index = self.indexAt(where)
        place = self.topLevelItemCount()
        if index.isValid():
            place = index.row() + (where.y() > self.visualRect(index).center().y())
        if held:
            before = self.indexOfTopLevelItem(self.currentItem()) < place
            self.moved.emit(held, place - before)

    def event(self, event: QEvent) -> bool:
        """Keys that move a stop, and letters, are no others' here."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.ShortcutOverride
            and (_step_of(event) or _typable(event))
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl with up and down moves the stop, Delete removes it, Return types its words."""
        typing = self.state() is QAbstractItemView.State.EditingState  # Return in a field comes here too
        held = "" if typing else self.current
        if held and (step := _step_of(event)):
            self.stepped.emit(held, step)
        elif held and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(held)
        elif held and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.editItem(self.currentItem(), max(_WORDS, self.currentColumn()))
        else:
            super().keyPressEvent(event)

    @Slot(QTreeWidgetItem, int)
    def _typed(self, item: QTreeWidgetItem, column: int) -> None:
        if not self._filling:
            self.changed.emit(str(item.data(0, _ID)), FIELDS[column], item.text(column))

    @Slot()
    def _current(self) -> None:
        if not self._filling and self.current:
            self.chosen.emit(self.current)


def _item(stop: Stop) -> QTreeWidgetItem:
    item = QTreeWidgetItem()
    item.setData(0, _ID, stop.id)
    flags = Qt.ItemFlag
    item.setFlags(
        flags.ItemIsEnabled | flags.ItemIsSelectable | flags.ItemIsEditable | flags.ItemIsDragEnabled
    )
    for column in (2, 3):
        item.setTextAlignment(column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    item.setToolTip(2, tr("So long the film stands here where it plays by itself"))
    item.setToolTip(3, tr("From here to the next stop it plays at this share of real time"))
    return item


def _fill(item: QTreeWidgetItem, place: int, stop: Stop, where: str) -> None:
    texts = (f"{place + 1}  {where}", stop.words, f"{stop.hold_s:g}", f"{stop.speed_after:g}")
    for column, text in enumerate(texts):
        if item.text(column) != text:
            item.setText(column, text)
    item.setToolTip(_WORDS, stop.words or tr("Type what is said at this stop"))


def _step_of(event: QKeyEvent) -> int:
    if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        return {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()), 0)
    return 0


def _typable(event: QKeyEvent) -> bool:
    plain = not event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier)
    return plain and (bool(event.text()) or event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down))
