"""Tables to the clipboard, so that they paste into a spreadsheet, a letter or a chat as tables."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from html import escape

from PySide6.QtCore import QAbstractItemModel, QEvent, QMimeData, QModelIndex, QObject, Qt, Slot
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QApplication, QHeaderView, QTableView, QWidget

from analysis.reading.cells import safe_text
from analysis.values.words import tr

Cell = str | float | None
"""Words, a number, or nothing."""
Rows = Sequence[Sequence[Cell]]
"""The first row are the headings."""

_NUMBER = re.compile("[-\N{MINUS SIGN}]?(0|[1-9][0-9]*)([.][0-9]+)?")
"""A code such as 007 is none."""
_WITH_ERROR = re.compile(rf"({_NUMBER.pattern}) ± ({_NUMBER.pattern})(.*)", re.DOTALL)


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
        cells = [[_words(row.siblingAtColumn(n).data()) for n in columns] for row in rows]
        names = [model.headerData(row.row(), Qt.Orientation.Vertical) for row in rows]
        if any(isinstance(name, str) and not name.isdecimal() for name in names):
            head = ["", *head]
            cells = [[_words(name), *row] for name, row in zip(names, cells, strict=True)]
        return apart([head, *cells])


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
    mime = _of_qt()
    mime.setText(as_text(rows))
    mime.setHtml(as_html(rows))
    QGuiApplication.clipboard().setMimeData(mime)


def _of_qt() -> QMimeData:
    """Nothing yet, for the clipboard.

    WORKAROUND: what Python made is held on when Python has ended, and the program then crashes as it ends
    (PySide6 6.10.3, seen here; no report known). So Qt makes it.
    """
    model = QStandardItemModel(1, 1)
    mime = model.mimeData([model.index(0, 0)])
    for format_ in mime.formats():
        mime.removeFormat(format_)
    return mime


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


def apart(rows: Sequence[Sequence[str]]) -> Rows:
    """Words in cells as a spreadsheet can reckon with them: "7.33 ± 0.11 m/s" in three, a number in one.

    A column gets one more for what lies after the ±, and one for words after that, where any cell has them.
    """
    columns = list(zip(*rows, strict=True))
    found = [column for words in columns for column in _parted(words)]
    return list(zip(*found, strict=True)) if found else rows


def with_error(name: str) -> list[str]:
    """The headings of a number and its uncertainty."""
    return [name, tr("± {name}").format(name=name).strip()]


def as_cell(words: str) -> Cell:
    """A number where the words are one, with either minus sign; else the words."""
    return float(words.replace("\N{MINUS SIGN}", "-")) if _NUMBER.fullmatch(words) else words


def _parted(column: Sequence[str]) -> Iterator[list[Cell]]:
    """A column as one, or where it holds uncertainties as two or three."""
    head, *cells = column
    told = [_WITH_ERROR.fullmatch(words) for words in cells]
    if not any(told):
        yield [head, *map(as_cell, cells)]
        return
    value, error = with_error(head)
    yield [value, *(as_cell(w if m is None else m[1]) for w, m in zip(cells, told, strict=True))]
    yield [error, *(None if m is None else as_cell(m[4]) for m in told)]
    rest = ["" if m is None else m[7].strip() for m in told]
    if any(rest):
        yield ["", *rest]


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
