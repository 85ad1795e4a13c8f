"""The bands that the run at hand is judged by: typed, imported, saved, or a pattern taken."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from analysis.jobs.patterns import take_pattern
from analysis.values.bands import BandOrigin, BandTable
from analysis.values.measures import unit_of
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.copying import copyable
from app.marking import bands
from app.marking.band_versions import take_back, versions_of
from app.run.band_versions_view import BandVersionsView
from app.run.section_view import said
from app.theme.tokens import Space

COLUMNS = (tr("measure"), tr("when"), tr("from"), tr("to"), tr("unit"), tr("who says so"))
_ENDS = {2: "low", 3: "high"}


class BandsDialog(QDialog):
    """Not modal: the reading beside it changes with every edit. Delete takes an own band back."""

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._filling = False
        self._shown: tuple[bands.InForce, ...] = ()
        self.setWindowTitle(tr("Bands"))
        self.setModal(False)
        self.resize(1000, 560)
        self.words = said("", "caption", wrap=True)
        self.table = _Table(self)
        self.table.itemChanged.connect(self._typed)
        self.bring = QPushButton(tr("Import a table…"), self)
        self.bring.setToolTip(
            tr(
                "A CSV file with the columns measure, moment, first_step, last_step, low, high; for a group "
                "also sex, sport, age, stance"
            )
        )
        self.bring.clicked.connect(self._import)
        self.save = QPushButton(tr("Save as a table…"), self)
        self.save.setToolTip(tr("The bands that count for this run as a CSV file, to be imported elsewhere"))
        self.save.clicked.connect(self._save)
        self.pattern = QPushButton(tr("Pattern of the athlete's good runs"), self)
        self.pattern.setToolTip(tr("From five runs on that you named as good"))
        self.pattern.clicked.connect(self._take_pattern)
        self.group = QComboBox(self)
        self.group.setAccessibleName(tr("For whom a band is that you type"))
        self.group.setToolTip(tr("A band that you type counts for runs of this group"))
        typed = QHBoxLayout()
        typed.addWidget(said(tr("What you type is for"), "caption"))
        typed.addWidget(self.group)
        typed.addStretch(1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.bring)
        buttons.addWidget(self.save)
        buttons.addWidget(self.pattern)
        buttons.addStretch(1)
        in_force = QWidget(self)
        column = QVBoxLayout(in_force)
        column.setSpacing(Space.BASE)
        column.addWidget(self.words)
        column.addLayout(typed)
        column.addWidget(self.table, 1)
        column.addLayout(buttons)
        self.versions = BandVersionsView(self)
        self.versions.taken_back.connect(self._take_version_back)
        self.pages = QTabWidget(self)
        self.pages.setDocumentMode(True)
        self.pages.setAccessibleName(tr("Bands in force and their versions"))
        self.pages.addTab(in_force, tr("In force"))
        self.pages.addTab(self.versions, tr("Versions"))
        QVBoxLayout(self).addWidget(self.pages)
        bench.run_changed.connect(self._fill)
        self._fill()

    @Slot()
    def _fill(self) -> None:
        run = self._bench.run
        self._shown = () if run is None else bands.in_force(self._bench.project, run)
        counts = any(one.table is not None for one in self._shown)
        self.save.setEnabled(counts)
        self.versions.show_versions(versions_of(self._bench.project))
        self._fill_groups()
        self._filling = True
        self.table.setRowCount(len(self._shown))
        for row, one in enumerate(self._shown):
            ends = ("" if v is None else f"{v:g}" for v in (one.band.low, one.band.high))
            cells = (
                bands.band_name(one.band),
                bands.steps_words(one.band),
                *ends,
                unit_of(one.band.measure),
                _who_says(one),
            )
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                if column not in _ENDS:
                    item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                self.table.setItem(row, column, item)
        self._filling = False
        self.words.setText(
            tr(
                "A measure outside its band departs. Yours count first, then a pattern of good runs, then "
                "the starting bands, which are common practice without a source and meant for adults from "
                "a split stance. Type another end to make a band of your own; Delete takes it back."
            )
            if counts
            else tr(
                "No band counts for this run: who ran, or how, is not what any of them is meant for. Type "
                "ends of your own, or import a table."
            )
        )

    def _fill_groups(self) -> None:
        run = self._bench.run
        groups = () if run is None else bands.groups_of(run, self._bench.project.athlete_of(run))
        if groups == tuple(self.group.itemData(n) for n in range(self.group.count())):
            return
        self.group.clear()
        for group in groups:
            self.group.addItem(bands.group_words(group), group)

    @Slot(QTableWidgetItem)
    def _typed(self, item: QTableWidgetItem) -> None:
        end = _ENDS.get(item.column())
        if self._filling or end is None:
            return
        band = self._shown[item.row()].band
        group = self.group.currentData() or bands.EVERYONE
        made = self._bench.attempt(lambda: bands.set_end(self._bench.project, band, end, item.text(), group))
        if not made:
            self._fill()

    def take_back(self, row: int) -> None:
        """The coach's own band of a row goes; one that is not the coach's stays."""
        one = self._shown[row]
        table = one.table
        if table is not None and table.origin is BandOrigin.COACH:
            self._bench.attempt(lambda: bands.drop_own(self._bench.project, one.band, table.group))

    @Slot(object)
    def _take_version_back(self, table: BandTable) -> None:
        self._bench.attempt(lambda: take_back(self._bench.project, table))

    @Slot()
    def _import(self) -> None:
        path = asking.table_to_open(self)
        if path is not None:
            self._bench.attempt(lambda: bands.import_bands(self._bench.project, path))

    @Slot()
    def _save(self) -> None:
        run = self._bench.run
        path = asking.table_to_save(self, tr("Save the bands")) if run is not None else None
        if run is None or path is None:
            return
        if self._bench.try_to(lambda: bands.save_bands(self._bench.project, run, path)):
            self._bench.said.emit(tr("The bands are in {path}.").format(path=path))

    @Slot()
    def _take_pattern(self) -> None:
        run, path = self._bench.run, self._bench.path
        if run is not None and path is not None:
            self._bench.attempt(lambda: take_pattern(path, run.athlete_id))


def _who_says(one: bands.InForce) -> str:
    if one.table is None:
        return tr("no band")
    return tr("{who} ({table}, version {version})").format(
        who=one.band.source, table=one.table.name, version=one.table.version
    )


class _Table(QTableWidget):
    """Delete asks for the row's own band to go."""

    def __init__(self, dialog: BandsDialog) -> None:
        super().__init__(0, len(COLUMNS), dialog)
        self._dialog = dialog
        self.setAccessibleName(tr("Bands in force"))
        self.setHorizontalHeaderLabels(list(COLUMNS))
        self.verticalHeader().setVisible(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        header = self.horizontalHeader()
        for column in range(len(COLUMNS) - 1):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        copyable(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the own band back."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.currentRow() >= 0:
            self._dialog.take_back(self.currentRow())
        else:
            super().keyPressEvent(event)
