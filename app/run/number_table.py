"""What tables of numbers have in common: Return goes to the film, Ctrl+C copies, an empty one says why."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QEvent, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from analysis.report.words import Unit
from analysis.values.estimate import Estimate, Result
from app.copying import Cell, Rows, TableCopy
from app.run.number_delegate import NumberDelegate
from app.theme.apply import sized
from app.theme.tokens import Space, Type


class _Header(QHeaderView):
    """As wide as its words: room for a bolder type and a sign of order, which it never shows, is left out."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)

    def sectionSizeFromContents(self, section: int) -> QSize:
        words = str(self.model().headerData(section, Qt.Orientation.Horizontal) or "")
        metrics = QFontMetrics(sized(self.font(), Type.CAPTION))
        across = max(metrics.horizontalAdvance(line) for line in words.split("\n"))
        return QSize(across + 2 * Space.TIGHT + Space.HAIR, super().sectionSizeFromContents(section).height())


class NumberTable(QTableView):
    """Cells of numbers with their uncertainty; a click or Return on one goes to its place on the film.

    Signals:
        frame_requested(int): the frame that the coach chose.

    """

    frame_requested = Signal(int)

    def __init__(self, model: QAbstractTableModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._numbers = NumberDelegate(self)
        self.setModel(model)
        self.setAccessibleName(name)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        header = _Header(self)
        self.setHorizontalHeader(header)
        header.setHighlightSections(False)
        header.setSectionsClickable(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.clicked.connect(self._go)
        self.copying = TableCopy(self, self._copied)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_numbers"):
            self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.model().rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setPen(self.palette().placeholderText().color())
            box = self.viewport().rect().adjusted(Space.PAGE, 0, -Space.PAGE, 0)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(box, int(flags), self._when_empty())
            painter.end()

    def _go(self, index: QModelIndex) -> None:
        """A cell was chosen."""
        raise NotImplementedError

    def _copied(self, selected: bool) -> Rows:
        rows = sorted({index.row() for index in self.selectionModel().selectedIndexes()}) if selected else []
        return self._rows_to_copy(rows or list(range(self.model().rowCount())))

    def _rows_to_copy(self, rows: list[int]) -> Rows:
        """Headings and rows for a spreadsheet, uncertainties in columns of their own."""
        raise NotImplementedError

    def _when_empty(self) -> str:
        """What to do to see numbers here."""
        raise NotImplementedError

    def _fit(self) -> None:
        self.resizeColumnsToContents()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + Space.BASE)


def plain_cells(result: Result | None, unit: Unit) -> list[Cell]:
    """Value and uncertainty for a spreadsheet: plain numbers, empty cells where there is none."""
    if not isinstance(result, Estimate):
        return [None, None]
    return [number * unit.factor for number in (result.value, result.half_width)]
