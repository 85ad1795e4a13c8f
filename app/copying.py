"""Tables to the clipboard, so that they paste into a spreadsheet, a letter or a chat as tables."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from html import escape

from PySide6.QtCore import QAbstractItemModel, QEvent, QMimeData, QModelIndex, QObject, Qt, Slot
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QApplication, QHeaderView, QTableView, QWidget

from analysis.reading.cells import safe_text
from analysis.values.words import tr

Cell = str | float | None
"""Words, a number, or nothing."""
Rows = Sequence[Sequence[Cell]]
"""The first row are the headings."""

_NUMBER = re.compile("[-\N{MINUS SIGN}]?(0|[1-9][0-9]*)([.][0-9]+)?")
"""A code such as 007 is none."""


class TableCopy(QObject):
    """Ctrl+C and an entry of the context menu copy what is selected in a table, or all of it.

    ``rows_of``: rows of cells below their headings, of the selection (True) or of the whole; a bound method.
    """

    def __init__(self, table: QWidget, rows_of: Callable[[bool], Rows]) -> None:
        super().__init__(table)
        self._rows_of = rows_of
        table.installEventFilter(self)
        table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        for words, act in (
            (tr("Copy what is selected"), self.copy),
            (tr("Copy the whole table"), self.copy_all),
        ):
            action = QAction(words, self)
            action.triggered.connect(act)
            table.addAction(action)

    @Slot()
    def copy(self) -> None:
        """Copy the selection; all where nothing is selected."""
        put(self._rows_of(True))

    @Slot()
    def copy_all(self) -> None:
        """Copy all."""
        put(self._rows_of(False))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The key, where no window's command takes it: in a dialog."""
        if (
            not isinstance(event, QKeyEvent)
            or event.type() is not QEvent.Type.KeyPress
            or not event.matches(QKeySequence.StandardKey.Copy)
        ):
            return super().eventFilter(watched, event)
        self.copy()
        return True


class ShownTable:
    """The cells of a view as they are shown, hidden columns left out."""

    def __init__(self, view: QAbstractItemView) -> None:
        self._view = view

    def rows(self, selected: bool) -> Rows:
        """Headings, and below them the selected rows, or all."""
        model, view = self._view.model(), self._view
        columns = [n for n in range(model.columnCount()) if not _hidden(view, n)]
        head = [_words(model.headerData(n, Qt.Orientation.Horizontal)) for n in columns]
        rows = list(_below(model, QModelIndex()))
        chosen = {index.siblingAtColumn(0) for index in view.selectionModel().selectedIndexes()}
        if selected and chosen:
            rows = [row for row in rows if row in chosen]
        return [head, *([as_cell(_words(row.siblingAtColumn(n).data())) for n in columns] for row in rows)]


def copyable(view: QAbstractItemView) -> None:
    """Have a view's cells copied as they are shown."""
    TableCopy(view, ShownTable(view).rows)


def copy_focused() -> bool:
    """Copy from the table that has the keyboard. False where none has it."""
    widget = QApplication.focusWidget()
    while widget is not None:
        for child in widget.children():
            if isinstance(child, TableCopy):
                child.copy()
                return True
        widget = widget.parentWidget()
    return False


def put(rows: Rows) -> None:
    """Lay rows on the clipboard: as tab-separated text, and as a table for programs that take one."""
    mime = QMimeData()
    mime.setText(as_text(rows))
    mime.setHtml(as_html(rows))
    QGuiApplication.clipboard().setMimeData(mime)


def as_text(rows: Rows) -> str:
    """Cells parted by tabs. Words that a spreadsheet could take for a formula get an apostrophe before them
    (analysis/reading/cells.py); numbers stay plain.
    """
    return "\n".join("\t".join(map(_text, row)) for row in rows) + "\n"


def as_html(rows: Rows) -> str:
    """The same as a table; a number is set to the right."""
    lines = []
    for number, row in enumerate(rows):
        tag = "td" if number else "th"
        cells = (
            f"<{tag}{'' if isinstance(cell, str) or cell is None else ' align=right'}>"
            f"{escape(_text(cell))}</{tag}>"
            for cell in row
        )
        lines.append(f"<tr>{''.join(cells)}</tr>")
    return f'<meta charset="utf-8"><table>{"".join(lines)}</table>'


def as_cell(words: str) -> Cell:
    """A number where the words are one, with either minus sign; else the words."""
    return float(words.replace("\N{MINUS SIGN}", "-")) if _NUMBER.fullmatch(words) else words


def _below(model: QAbstractItemModel, parent: QModelIndex) -> Iterator[QModelIndex]:
    """The first cell of every row, a tree's from top to bottom."""
    for number in range(model.rowCount(parent)):
        row = model.index(number, 0, parent)
        yield row
        yield from _below(model, row)


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return safe_text(" ".join(cell.split()))
    return f"{cell:.0f}" if float(cell).is_integer() else f"{cell:.6g}"


def _words(shown: object) -> str:
    return "" if shown is None else str(shown)


def _hidden(view: QAbstractItemView, column: int) -> bool:
    header = view.horizontalHeader() if isinstance(view, QTableView) else None
    return isinstance(header, QHeaderView) and header.isSectionHidden(column)
