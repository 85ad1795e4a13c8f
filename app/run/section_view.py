"""One part of the reading on screen: a heading, and names with their numbers in line."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QLayout, QPushButton, QSizePolicy, QWidget

from analysis.report.sections import Row, Section
from analysis.values.words import tr
from app.copying import Rows, TableCopy, apart
from app.run.link_button import LinkButton
from app.theme.apply import sized
from app.theme.tokens import Space, Type

_NAME, _NUMBER = 0, 1
_ONE_LINE_CHARACTERS = 30


class SectionView(QWidget):
    """Shows a section; one with nothing to say hides itself.

    Signals:
        frame_requested(int): a row that lies on a frame was chosen.

    """

    frame_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._section: Section | None = None
        self._frames: dict[QPushButton, int] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(Space.BASE)
        self._grid.setVerticalSpacing(Space.TIGHT)
        self._grid.setColumnStretch(_NAME, 1)
        self._stacked = False
        TableCopy(self, self._copied)
        self.hide()

    def show_section(self, section: Section | None) -> None:
        """Show these rows instead."""
        if section == self._section:
            return
        self._section = section
        self._lay_out()

    def _copied(self, _selected: bool) -> Rows:
        section = self._section
        if section is None:
            return []
        return apart([[section.title, ""], *([row.name, row.text or row.under] for row in section.rows)])

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # with little room or large text a number stands below its name instead of squeezing it
        stacked = self.width() < self.fontMetrics().averageCharWidth() * _ONE_LINE_CHARACTERS
        if stacked != self._stacked:
            self._stacked = stacked
            self._lay_out()

    def _lay_out(self) -> None:
        section = self._section
        self._clear()
        if section is None or not (section.rows or section.empty):
            self.hide()
            return
        self._add(0, said(section.title, "heading", wrap=True), across=True)
        line = 1
        if not section.rows:
            self._add(line, said(section.empty, "caption", wrap=True), across=True)
        for row in section.rows:
            line = self._add_row(line, row)
        if section.caption:
            self._add(line, said(section.caption, "caption", wrap=True), across=True)
        self.show()

    def _add_row(self, line: int, row: Row) -> int:
        if row.under:
            return self._add_explained(line, row)
        name = self._name(row)
        alone = not row.text
        self._add(line, name, across=alone or self._stacked)
        if not alone:
            line += self._stacked
            number = said(row.text, "caption" if row.missing else "number")
            number.setFont(sized(number.font(), Type.BODY, bold=not row.missing))
            number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            number.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            number.setToolTip(row.hint)
            number.setAccessibleName(row.spoken)
            number.setAccessibleDescription(row.hint)
            top = Qt.AlignmentFlag.AlignTop if row.frame is None else Qt.AlignmentFlag.AlignVCenter
            self._grid.addWidget(number, line, _NUMBER, top)
            number.show()
        if row.note and row.frame is None:
            self._add(line + 1, said(row.note, "caption", wrap=True), across=True)
            return line + 2
        return line + 1

    def _add_explained(self, line: int, row: Row) -> int:
        """The name, the frame that it rests on beside it, and all else below."""
        self._add(line, said(row.name, "", wrap=True), across=row.frame is None)
        if row.frame is not None:
            link = self._link(tr("frame {frame}").format(frame=row.frame), row.spoken, row.frame)
            self._grid.addWidget(link, line, _NUMBER, Qt.AlignmentFlag.AlignTop)
            link.show()
        below = said(row.under, "caption", wrap=True)
        below.setToolTip(row.hint)
        self._add(line + 1, below, across=True)
        return line + 2

    def _name(self, row: Row) -> QWidget:
        if row.frame is None:
            return said(row.name, "", wrap=True)
        return self._link(f"{row.name}, {row.note}", f"{row.spoken}, {row.note}", row.frame)

    def _link(self, words: str, spoken: str, frame: int) -> LinkButton:
        button = LinkButton(words, self)
        button.setAccessibleName(spoken)
        button.clicked.connect(self._chosen)
        self._frames[button] = frame
        return button

    def _chosen(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton) and button in self._frames:
            self.frame_requested.emit(self._frames[button])

    def _add(self, line: int, widget: QWidget, *, across: bool) -> None:
        self._grid.addWidget(widget, line, _NAME, 1, 2 if across else 1)
        widget.show()  # else it would stay away until Qt is idle

    def _clear(self) -> None:
        self._frames.clear()
        empty(self._grid)


def empty(layout: QLayout) -> None:
    """Take everything out of a layout; gone at once, deleted when Qt is idle."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()


def said(words: str, role: str, *, wrap: bool = False) -> QLabel:
    """Words in a look with a name, over several lines where they are long."""
    label = QLabel(words)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("role", role)
    label.setWordWrap(wrap)
    if wrap:
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        label.setSizePolicy(policy)
    return label
