"""Every version of the project's bands, with what it changed; one can be taken back."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from analysis.values.bands import BandTable
from analysis.values.words import tr
from app.copying import copyable
from app.marking.band_versions import BandVersion
from app.run.section_view import said
from app.theme.tokens import Space

COLUMNS = (tr("table"), tr("version"), tr("made"), tr("what it changed"))


class BandVersionsView(QWidget):
    """Attributes: ``table`` a row for each version, ``back`` takes the row's version back.

    Signals: taken_back(BandTable): its bands shall count again.
    """

    taken_back = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._shown: tuple[BandVersion, ...] = ()
        self.words = said("", "caption", wrap=True)
        self.table = QTableWidget(0, len(COLUMNS), self)
        self.table.setAccessibleName(tr("Versions of the bands"))
        self.table.setHorizontalHeaderLabels(list(COLUMNS))
        self.table.verticalHeader().setVisible(False)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        header = self.table.horizontalHeader()
        for place in range(len(COLUMNS) - 1):
            header.setSectionResizeMode(place, QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        copyable(self.table)
        self.back = QPushButton(tr("Take this version back"), self)
        self.back.setToolTip(tr("Its bands count again, as the next version; none is lost"))
        self.back.clicked.connect(self._take_back)
        self.table.itemSelectionChanged.connect(self._selected)
        column = QVBoxLayout(self)
        column.setSpacing(Space.BASE)
        column.addWidget(self.words)
        column.addWidget(self.table, 1)
        column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)

    def show_versions(self, versions: tuple[BandVersion, ...]) -> None:
        """Show these, none of them at hand."""
        self._shown = versions
        self.words.setText(
            tr("Every edit of your own bands and every pattern is a version. The newest of a table counts.")
            if versions
            else tr("No bands of your own yet: only the starting bands, which stay as they are, count.")
        )
        self.table.clearSelection()
        self.table.setRowCount(len(versions))
        for row, one in enumerate(versions):
            number = str(one.table.version)
            if one.counts:
                number = tr("{version} (counts)").format(version=number)
            made = one.table.made_at.replace("T", " ") or tr("not known")
            for column, text in enumerate((one.table.name, number, made, one.words)):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.table.setItem(row, column, item)
        self._selected()

    @property
    def _at_hand(self) -> BandTable | None:
        rows = self.table.selectionModel().selectedRows()
        one = self._shown[rows[0].row()] if rows else None
        return None if one is None or one.counts else one.table

    @Slot()
    def _selected(self) -> None:
        self.back.setEnabled(self._at_hand is not None)

    @Slot()
    def _take_back(self) -> None:
        table = self._at_hand
        if table is not None:
            self.taken_back.emit(table)
