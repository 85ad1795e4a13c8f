"""The narration at hand in a workspace: its name, its stops, and the ways to show it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt, Slot
from PySide6.QtGui import QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QLabel, QVBoxLayout, QWidget

from analysis.report.words import seconds_text
from analysis.values.narration import Stop
from analysis.values.typed import typed_number
from analysis.values.words import tr
from app.action_button import action_button
from app.actions import Actions
from app.bench import Bench, Look
from app.narrate.desk import NarrationDesk
from app.narrate.drawn_menu import DrawnMenu
from app.narrate.stop_list import StopList
from app.theme.tokens import Space


class NarrationPanel(QWidget):
    """Shows what the desk holds, and hands over what is done here.

    Attributes: ``names`` of the narrations, ``stops`` the list, ``shows`` what the stop at hand shows.
    """

    def __init__(self, bench: Bench, desk: NarrationDesk, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._desk = bench, desk
        self._look: Look | None = None
        self.setAccessibleName(tr("Narration"))
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self.names = QComboBox(self)
        self.names.setAccessibleName(tr("Narration"))
        self.names.setEditable(True)
        self.names.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.names.setMinimumContentsLength(10)
        self.names.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.names.setToolTip(tr("Choose a narration of these runs; type to rename it"))
        self.stops = StopList(self)
        self.stops.setMinimumHeight(1)
        self.shows = DrawnMenu(self)
        self.hint = QLabel(self)
        self.hint.setWordWrap(True)
        self.hint.setProperty("role", "caption")
        key = actions["stop_here"].shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        self.hint.setText(
            tr("No stop yet. Go to a frame and press {key}; then say here what is to be seen.").format(
                key=key
            )
        )
        self.here, self.present, self.speak, self.new, self.remove = (
            action_button(actions[name], words, self)
            for name, words in (
                ("stop_here", tr("Stop here")),
                ("present", tr("Present")),
                ("speak", tr("Speak")),
                ("new_narration", tr("New")),
                ("remove_narration", tr("Remove")),
            )
        )
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        groups = (self.names, self.new, self.remove), (self.here, self.shows), (self.present, self.speak)
        self._rows = [_row(group) for group in groups]
        self._acts, self._head = _line(self._rows[1:]), _line(())
        self._acts.setStretch(1, 1)  # what room is left stands behind the last one
        self._head.addLayout(self._rows[0])
        self._head.addLayout(self._acts)
        self._head.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.BASE, Space.TIGHT, Space.BASE, Space.TIGHT)
        column.setSpacing(Space.TIGHT)
        column.addLayout(self._head)
        column.addWidget(self.hint)
        column.addWidget(self.stops, 1)

    def _connect(self) -> None:
        desk = self._desk
        desk.changed.connect(self.refresh)
        self.names.activated.connect(self._chosen)
        edit = self.names.lineEdit()
        assert edit is not None
        edit.editingFinished.connect(self._renamed)
        self.stops.chosen.connect(desk.choose_stop)
        self.stops.changed.connect(self._typed)
        self.stops.moved.connect(desk.move_stop)
        self.stops.stepped.connect(desk.step_stop)
        self.stops.removed.connect(desk.remove_stop)
        self.shows.drawn_chosen.connect(self._drawn)
        self.shows.zoom_chosen.connect(self._zoomed)

    def minimumSizeHint(self) -> QSize:
        """As wide as the widest group, which come under each other; the film comes before the list."""
        widest = max(row.minimumSize().width() for row in self._rows)
        lines = 2 * (self.new.sizeHint().height() + Space.TIGHT) + self.fontMetrics().height()
        return QSize(widest + 2 * Space.BASE, lines)

    def sizeHint(self) -> QSize:
        """Both rows in two lines, and a few stops."""
        line = self.fontMetrics().height()
        return QSize(self.minimumSizeHint().width(), 14 * line)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Both rows in one line where there is room."""
        super().resizeEvent(event)
        self._fit_rows()

    def changeEvent(self, event: QEvent) -> None:
        """Other text needs other widths."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_head"):
            self.updateGeometry()
            self._fit_rows()

    def _fit_rows(self) -> None:
        """All in one line, or the acts in a second one, or these in two."""
        room = self.width() - 3 * Space.BASE
        acts = sum(row.sizeHint().width() for row in self._rows[1:]) + Space.BASE
        self._acts.setDirection(_direction(acts <= room))
        self._head.setDirection(_direction(acts + self._rows[0].sizeHint().width() <= room))

    # what is shown

    def showEvent(self, event: QShowEvent) -> None:
        """Out of sight nothing was looked up: do it now."""
        super().showEvent(event)
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show what is at hand now; nothing while it is out of sight."""
        if not self.isVisible():
            return
        desk = self._desk
        told, known = desk.narration, desk.narrations
        edit = self.names.lineEdit()
        if edit is None or not edit.hasFocus() or not edit.isModified():
            self.names.clear()
            for one in known:
                self.names.addItem(one.name, one.id)
            self.names.setCurrentIndex(-1 if told is None else self.names.findData(told.id))
        self.names.setEnabled(bool(known))
        stop = desk.stop
        run_id = "" if told is None else told.run_ids[0]
        self._look = self._bench.look(run_id, self._look)
        self.stops.show_stops(told, "" if stop is None else stop.id, self._place)
        self.shows.show_stop(stop)
        stops = told is not None and bool(told.stops)
        self.remove.setEnabled(told is not None)
        self.present.setEnabled(stops)
        self.hint.setVisible(not stops)
        self.stops.setVisible(stops)

    def _place(self, stop: Stop) -> str:
        """Where a stop lies: the time from first movement, and the frame."""
        look = self._look
        if look is None or look.facts is None or stop.frame >= look.facts.frames:
            return tr("frame {frame}").format(frame=stop.frame)
        zero = look.run.start.first_movement
        at_s = look.facts.times.at(stop.frame) - (0.0 if zero is None else look.facts.times.at(zero))
        return seconds_text(round(at_s, 3))

    # what is done

    @Slot(int)
    def _chosen(self, place: int) -> None:
        self._desk.choose(str(self.names.itemData(place)))

    @Slot()
    def _renamed(self) -> None:
        told, edit = self._desk.narration, self.names.lineEdit()
        if told is not None and edit is not None and edit.text().strip() != told.name and edit.isModified():
            edit.setModified(False)
            self._desk.rename(edit.text())

    @Slot(str, str, str)
    def _typed(self, stop_id: str, field: str, text: str) -> None:
        value = text if field == "words" else typed_number(text, "×" if field == "speed_after" else "s")
        self._desk.change_stop(stop_id, **{field: value})
        self.refresh()  # what was refused is shown as it was

    @Slot(object)
    def _drawn(self, drawn: object) -> None:
        stop = self._desk.stop
        if stop is not None:
            self._desk.change_stop(stop.id, drawn=drawn)

    @Slot(bool)
    def _zoomed(self, zoomed: bool) -> None:
        stop, stand = self._desk.stop, self._desk.stand
        if stop is not None and stand is not None:
            shown = (stand.zoom, stand.beside_zoom) if zoomed else (None, None)
            self._desk.change_stop(stop.id, zoom=shown[0], beside_zoom=shown[1])
        self.refresh()


def _row(parts: Sequence[QWidget]) -> QBoxLayout:
    row = _line(())
    for part in parts:
        row.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
    row.addStretch(1)
    return row


def _line(rows: Sequence[QBoxLayout]) -> QBoxLayout:
    line = QBoxLayout(QBoxLayout.Direction.LeftToRight)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(Space.TIGHT)
    for row in rows:
        line.addLayout(row)
    return line


def _direction(across: bool) -> QBoxLayout.Direction:
    return QBoxLayout.Direction.LeftToRight if across else QBoxLayout.Direction.TopToBottom
