"""A day's drills in their three blocks: counts typed in place, order changed by drag or keys."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QPoint, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from analysis.plan.wording import BLOCK_WORDS
from analysis.values.day_plan import DayPlan, Done, PlannedDrill
from analysis.values.drill import Block, Drill
from analysis.values.words import tr
from app.copying import copyable
from app.plan.drill_list import DRILL_MIME

FIELDS = ("name", "sets", "reps", "rest_s", "load", "cue", "went")
NUMBERS = ("sets", "reps", "rest_s")
_ID, _BLOCK, _WHO = (Qt.ItemDataRole.UserRole + place for place in range(3))
_LOAD = FIELDS.index("load")
_TALL = 10_000
_LETTERS_OF_NOTE = 26
"""So much of how a drill went is in sight, before its name goes on in a second line."""


class _Cells(QStyledItemDelegate):
    """The name of a drill is the library's; of an athlete's row only the load can be typed."""

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        """The usual field where something can be typed, else None."""
        own = index.sibling(index.row(), 0).data(_WHO)
        if index.column() == 0 or (own and index.column() != _LOAD):
            return None  # type: ignore[return-value]
        return super().createEditor(parent, option, index)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """As wide as the words with their box beside them; the style leaves the box of a sheet's size out. As
        high as they are where the column is narrower and they go on in a second line.
        """
        hint = super().sizeHint(option, index)
        own = QStyleOptionViewItem(option)
        self.initStyleOption(own, index)
        own.rect = QRect(QPoint(), hint)
        style = own.widget.style()
        room = style.subElementRect(QStyle.SubElement.SE_ItemViewItemText, own, own.widget).width()
        beside = 2 * (style.pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin, own, own.widget) + 1)
        # rounded up: a line that is a part of a pixel too long goes on in a second one
        wanted = own.fontMetrics.horizontalAdvance(own.text) + 1 + beside
        whole = hint + QSize(max(0, wanted - room), 0)
        lacking = whole.width() - self._width(index)
        if lacking <= 0:
            return whole
        lines = QRect(0, 0, max(1, wanted - beside - lacking), _TALL)
        high = own.fontMetrics.boundingRect(lines, Qt.TextFlag.TextWordWrap, own.text).height()
        return whole + QSize(0, high - own.fontMetrics.height())

    def _width(self, index: QModelIndex | QPersistentModelIndex) -> int:
        """How wide a cell of the name is; other columns are as wide as they need to be."""
        if index.column() > 0 or not index.parent().isValid():
            return _TALL
        tree: DayTree = self.parent()  # type: ignore[assignment]
        deep = 2 if index.parent().parent().isValid() else 1
        return tree.columnWidth(0) - deep * tree.indentation()


class DayTree(QTreeWidget):
    """Blocks and their drills.

    Signals:
        dropped(str, object, int): a drill of the library (its id) shall stand in a block at a place.
        moved(str, object, int): a drill of the day (its id) shall stand there.
        stepped(str, int): a drill of the day shall go up (-1) or down (1).
        removed(str): a drill of the day shall go.
        ticked(str): a drill of the day was done, or was not after all.
        ticked_by(str, str): an athlete (their id) did it, or left it out.
        changed(str, str, str): of a drill of the day: field, and what was typed.
        loaded(str, str, str): of a drill of the day: an athlete's id, and the load that was typed for them.
        shown(str): the words of this drill of the library are wanted.
    """

    dropped = Signal(str, object, int)
    moved = Signal(str, object, int)
    stepped = Signal(str, int)
    removed = Signal(str)
    ticked = Signal(str)
    ticked_by = Signal(str, str)
    changed = Signal(str, str, str)
    loaded = Signal(str, str, str)
    shown = Signal(str)
    _box_clicked = Signal(str, str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._filling = False
        self._plan: DayPlan | None = None
        self._open: set[str] = set()  # drills of which the athletes are on show
        self.setAccessibleName(tr("The day's drills"))
        self.setHeaderLabels(
            [tr("drill"), tr("sets"), tr("reps"), tr("rest s"), tr("load"), tr("cue"), tr("how it went")]
        )
        self.setItemDelegate(_Cells(self))
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragDrop)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed)
        self.setProperty("role", "rows")
        self.setExpandsOnDoubleClick(False)
        self.setRootIsDecorated(False)
        header = self.header()
        header.setStretchLastSection(True)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Fixed)
        for column in range(1, len(FIELDS) - 1):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        header.setMinimumSectionSize(1)
        header.sectionResized.connect(self._resized)
        self.setWordWrap(True)
        copyable(self)
        self.itemChanged.connect(self._typed)
        # Qt looks at an item once more after its box was clicked: it must not be gone by then
        self._box_clicked.connect(self._tick, Qt.ConnectionType.QueuedConnection)
        self.itemExpanded.connect(self._unfolded)
        self.itemCollapsed.connect(self._folded)
        self.currentItemChanged.connect(self._current)

    @property
    def current(self) -> str:
        """The drill of the day at hand, by its own id; empty where there is none."""
        return str(self.currentIndex().siblingAtColumn(0).data(_ID) or "")

    @property
    def current_athlete(self) -> str:
        """The athlete whose own row is at hand; empty where it is a drill's."""
        return str(self.currentIndex().siblingAtColumn(0).data(_WHO) or "")

    def show_plan(self, plan: DayPlan | None, drills: Mapping[str, Drill], codes: Mapping[str, str]) -> None:
        """Show a day; the row at hand stays at hand. ``codes``: of athletes, by id; where a day has several,
        each has a row of their own below a drill.
        """
        before, column = (self.current, self.current_athlete), max(0, self.currentColumn())
        field = QApplication.focusWidget()
        typing = field is not None and self.isAncestorOf(field)
        self._filling, self._plan = True, plan
        self.clear()
        for block in Block if plan is not None else ():
            head = self._head(block)
            for one in plan.of_block(block) if plan is not None else ():
                item = _row(one, drills.get(one.drill_id))
                head.addChild(item)
                if plan is not None and len(plan.athlete_ids) > 1:
                    item.addChildren(
                        [_athlete_row(one, who, codes.get(who, who)) for who in plan.athlete_ids]
                    )
                    parted = bool(one.loads) or (one.done is not None and bool(one.done.left_out))
                    item.setExpanded(parted or one.id in self._open)
                for row in (item, *(item.child(place) for place in range(item.childCount()))):
                    if (row.data(0, _ID), row.data(0, _WHO) or "") == before:
                        self.setCurrentItem(row, column)
            head.setExpanded(True)
        if typing:
            self.setFocus()  # else it would leave with the field that was typed in
        self._filling = False
        self._share_width()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The names of drills take what the other columns leave."""
        super().resizeEvent(event)
        self._share_width()

    @Slot(int)
    def _resized(self, column: int) -> None:
        if 0 < column < len(FIELDS) - 1:
            self._share_width()

    def _share_width(self) -> None:
        """A name has what it needs, but not the room of the other columns."""
        header = self.header()
        others = sum(header.sectionSize(column) for column in range(1, len(FIELDS) - 1))
        note = self.fontMetrics().averageCharWidth() * _LETTERS_OF_NOTE
        room = self.viewport().width() - others - note
        width = min(max(room, self.viewport().width() // 4), self.sizeHintForColumn(0))
        if width != header.sectionSize(0):
            header.resizeSection(0, width)
            self.scheduleDelayedItemsLayout()

    @Slot(QTreeWidgetItem)
    def _unfolded(self, item: QTreeWidgetItem) -> None:
        if item.parent() is not None:
            self._open.add(str(item.data(0, _ID)))

    @Slot(QTreeWidgetItem)
    def _folded(self, item: QTreeWidgetItem) -> None:
        self._open.discard(str(item.data(0, _ID)))
        if item.parent() is None:
            item.setExpanded(True)  # a block has nothing to hide

    def _head(self, block: Block) -> QTreeWidgetItem:
        head = QTreeWidgetItem(self, [BLOCK_WORDS[block]])
        head.setData(0, _BLOCK, block.value)
        head.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsDropEnabled)
        font = head.font(0)
        font.setBold(True)
        head.setFont(0, font)
        head.setFirstColumnSpanned(True)
        return head

    # dragging

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Drills of the library, and the day's own."""
        if self._plan is not None and (event.source() is self or event.mimeData().hasFormat(DRILL_MIME)):
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Anywhere on a day that is there."""
        super().dragMoveEvent(event)
        event.setAccepted(self._plan is not None)

    def dropEvent(self, event: QDropEvent) -> None:
        """Say what shall stand where; the day is shown anew when it is so."""
        block, place = self._aim(event)
        mine = event.source() is self
        held = self.current if mine else bytes(event.mimeData().data(DRILL_MIME).data()).decode()
        event.setDropAction(Qt.DropAction.IgnoreAction)  # the view must not move rows by itself
        event.accept()
        if not held or self._plan is None:
            return
        if not mine:
            self.dropped.emit(held, block, place)
            return
        ids = [one.id for one in self._plan.of_block(block)]
        passed = held in ids and ids.index(held) < place
        self.moved.emit(held, block, place - passed)

    def _aim(self, event: QDropEvent) -> tuple[Block, int]:
        where = event.position().toPoint()
        item = self.itemAt(where) if self.indexAt(where).isValid() else None
        if item is not None and item.data(0, _WHO):
            item = item.parent()
        if item is None:
            last = list(Block)[-1]
            return last, 0 if self._plan is None else len(self._plan.of_block(last))
        block = Block(str(item.data(0, _BLOCK)))
        if not item.data(0, _ID):
            return block, 0
        below = where.y() > self.visualItemRect(item).center().y()
        return block, item.parent().indexOfChild(item) + below

    # keys

    def event(self, event: QEvent) -> bool:
        """Keys that move a drill are no others' here."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.ShortcutOverride
            and (_step_of(event) or (event.text() and not event.modifiers()))
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Alt with up and down moves the drill, Delete removes it, + and - change a count, Space ticks it."""
        field = FIELDS[max(0, self.currentColumn())]
        held = "" if self.current_athlete else self.current
        if held and (step := _step_of(event)):
            self.stepped.emit(held, step)
        elif held and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(held)
        elif self.current and event.key() == Qt.Key.Key_Space:
            self.tick()
        elif held and event.text() in ("+", "-") and field in NUMBERS:
            step = (10 if field == "rest_s" else 1) * (1 if event.text() == "+" else -1)
            self.changed.emit(held, field, f"{float(self.currentItem().text(FIELDS.index(field))) + step:g}")
        else:
            super().keyPressEvent(event)

    def tick(self) -> None:
        """The drill at hand was done, or the athlete at hand did it; or not after all."""
        if self.current:
            self._tick(self.current, self.current_athlete)

    @Slot(str, str)
    def _tick(self, drill: str, athlete: str) -> None:
        if athlete:
            self.ticked_by.emit(drill, athlete)
        else:
            self.ticked.emit(drill)

    @Slot(QTreeWidgetItem, int)
    def _typed(self, item: QTreeWidgetItem, column: int) -> None:
        if self._filling or not item.data(0, _ID):
            return
        if column == 0:
            self._box_clicked.emit(str(item.data(0, _ID)), str(item.data(0, _WHO) or ""))
        elif item.data(0, _WHO):
            self.loaded.emit(str(item.data(0, _ID)), str(item.data(0, _WHO)), item.text(column))
        else:
            self.changed.emit(str(item.data(0, _ID)), FIELDS[column], item.text(column))

    @Slot()
    def _current(self) -> None:
        plan, held = self._plan, self.current
        one = next((one for one in plan.drills if one.id == held), None) if plan is not None else None
        if one is not None and not self._filling:
            self.shown.emit(one.drill_id)


def _row(one: PlannedDrill, drill: Drill | None) -> QTreeWidgetItem:
    name = drill.name if drill is not None else tr("(not in the library any more)")
    went = "" if one.done is None else one.done.note
    cells = [name, str(one.sets), str(one.reps), f"{one.rest_s:g}", one.load, one.cue, went]
    item = QTreeWidgetItem(cells)
    item.setCheckState(0, _box(one.done))
    item.setData(0, _ID, one.id)
    item.setData(0, _BLOCK, one.block.value)
    flags = Qt.ItemFlag
    item.setFlags(
        flags.ItemIsEnabled
        | flags.ItemIsSelectable
        | flags.ItemIsEditable
        | flags.ItemIsDragEnabled
        | flags.ItemIsUserCheckable
    )
    for field in NUMBERS:
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        item.setTextAlignment(FIELDS.index(field), right)
    for field in ("name", "load", "cue", "went"):
        item.setToolTip(FIELDS.index(field), item.text(FIELDS.index(field)))
    if one.done is not None:
        when = one.done.at.replace("T", " ")
        item.setToolTip(0, tr("{drill}\nDone {when}").format(drill=name, when=when))
    return item


def _box(done: Done | None) -> Qt.CheckState:
    """Half ticked where some athletes left it out."""
    if done is None:
        return Qt.CheckState.Unchecked
    return Qt.CheckState.PartiallyChecked if done.left_out else Qt.CheckState.Checked


def _athlete_row(one: PlannedDrill, athlete_id: str, code: str) -> QTreeWidgetItem:
    own = dict(one.loads).get(athlete_id)
    item = QTreeWidgetItem([code])
    item.setText(_LOAD, one.load if own is None else own)
    item.setData(0, _ID, one.id)
    item.setData(0, _WHO, athlete_id)
    did = one.done is not None and athlete_id not in one.done.left_out
    item.setCheckState(0, Qt.CheckState.Checked if did else Qt.CheckState.Unchecked)
    flags = Qt.ItemFlag
    item.setFlags(
        flags.ItemIsEnabled | flags.ItemIsSelectable | flags.ItemIsEditable | flags.ItemIsUserCheckable
    )
    if own is None:
        item.setToolTip(_LOAD, tr("As the drill says. Type another load for this athlete."))
    else:
        font = item.font(_LOAD)
        font.setBold(True)
        item.setFont(_LOAD, font)
        item.setToolTip(_LOAD, tr("This athlete's own load. Empty it for what the drill says."))
    return item


def _step_of(event: QKeyEvent) -> int:
    if event.modifiers() & Qt.KeyboardModifier.AltModifier:
        return {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()), 0)
    return 0
