"""The marks of known place as a table that can be changed, and which map they gave."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QTableWidgetItem, QVBoxLayout, QWidget

from analysis.reading.scale import ScaleWords, scale_words
from analysis.report.marks import RESIDUAL_TIMES
from analysis.report.marks_seen import marks_seen, picture_size
from analysis.values.command import Command, Kind
from analysis.values.reading import Reading
from analysis.values.resolving import evidence_for
from analysis.values.run import GroundMark, Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking import camera, placing
from app.run.place.marks_table import COLUMNS, MarksTable, number_of
from app.selection import PartRef
from app.theme.tokens import Space


class MarksPanel(QWidget):
    """Shows and changes the marks of the run at hand, those that its camera place lends included."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._filling = False
        self._stale = True
        self._rows: tuple[GroundMark, ...] = ()
        self._lent: frozenset[str] = frozenset()
        self.table = MarksTable(self)
        self.table.itemChanged.connect(self._changed)
        self.table.itemSelectionChanged.connect(self._selected)
        self.table.delete_asked.connect(self._delete)
        self.empty = self._label(
            tr("No marks yet. With Mark of known distance click a cone where it meets the ground.")
        )
        self.legend = self._label(
            tr("On the picture a thin line leads from each mark {times} times as far as it is off.").format(
                times=RESIDUAL_TIMES
            ),
            "caption",
        )
        self.chosen = self._label("", "number")
        self.why = self._label("")
        self.missing = self._label("")
        self.setAccessibleName(tr("Marks"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(Space.WIDE, Space.BASE, Space.WIDE, Space.BASE)
        layout.setSpacing(Space.BASE)
        for part in (self.empty, self.table, self.legend, self.chosen, self.why, self.missing):
            layout.addWidget(part)
        layout.addStretch(1)
        bench.run_changed.connect(self.show_run)
        bench.reading_changed.connect(self._show_reading)
        bench.selection_changed.connect(self._show_selected)
        self.show_run(bench.run)

    def _label(self, words: str, role: str = "") -> QLabel:
        label = QLabel(words, self)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        if role:
            label.setProperty("role", role)
        return label

    @Slot(object)
    def show_run(self, run: Run | None) -> None:
        """Fill the table from a run."""
        bench = self._bench
        lent = () if run is None else marks_seen(bench.project, run, picture_size(bench.facts)).lent
        own = () if run is None else run.marks
        # the order of the table is that of the marks, whoever they belong to
        self._rows = tuple(sorted((*own, *lent), key=_by_place))
        self._lent = frozenset(mark.id for mark in lent)
        self._fill(bench.reading)
        self._show_selected()

    def _fill(self, reading: Reading | None) -> None:
        self._filling = True
        off = {} if reading is None else {one.mark_id: one for one in reading.marks}
        self.table.fill(self._rows, self._lent, off)
        self.empty.setVisible(not self._rows)
        self.table.setVisible(bool(self._rows))
        self.legend.setVisible(bool(off))
        self._filling = False

    @Slot(object)
    def _show_reading(self, reading: Reading | None) -> None:
        self._fill(reading)
        self._show_selected()
        self._stale = True
        if self.isVisible():
            self._say()

    def showEvent(self, event: QShowEvent) -> None:
        """What was not worked out while nobody looked."""
        super().showEvent(event)
        if self._stale:
            self._say()

    def _say(self) -> None:
        self._stale = False
        run, facts = self._bench.run, self._bench.facts
        words = ScaleWords("", "")
        if run is not None and facts is not None:
            words = scale_words(evidence_for(self._bench.project, run, facts))
        missing = [tr("Not read, and what would give it:"), *(f"– {one}" for one in words.missing)]
        for label, text in (
            (self.chosen, words.chosen),
            (self.why, words.why),
            (self.missing, "\n".join(missing) if words.missing else ""),
        ):
            label.setText(text)
            label.setVisible(bool(text))

    @Slot()
    def _show_selected(self) -> None:
        """The row of the mark that is selected on the picture; a changed distance may have moved it."""
        selected = self._bench.selected
        ids = [mark.id for mark in self._rows]
        self._filling = True
        if isinstance(selected, PartRef) and selected.kind is Kind.MARK and selected.id in ids:
            row = ids.index(selected.id)
            if row != self.table.currentRow() or not self.table.selectedItems():
                self.table.setCurrentCell(row, max(0, self.table.currentColumn()))
        else:
            self.table.clearSelection()
        self._filling = False

    def _mark(self, row: int) -> GroundMark | None:
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def _changed(self, item: QTableWidgetItem) -> None:
        mark, field = self._mark(item.row()), COLUMNS[item.column()].field
        if self._filling or mark is None or not field:
            return
        text = item.text()

        def change() -> Command:
            told: dict[str, Any] = {field: number_of(text, field)}
            return self._change(mark, told)

        if not self._bench.attempt(change):
            self.show_run(self._bench.run)

    def _change(self, mark: GroundMark, told: dict[str, Any] | None) -> Command:
        """The mark with other numbers, or with None taken off; a lent one changes for all films."""
        run = self._bench.run
        assert run is not None, "a row belongs to a run"
        if mark.id not in self._lent:
            if told is None:
                return placing.delete_part(run, Kind.MARK, mark.id)
            return placing.change_mark(run, mark, replace(mark, **told))
        place = camera.place_of(self._bench.project, run)
        assert place is not None, "only a camera place lends marks"
        kept = next(one for one in place.marks if one.id == mark.id.removeprefix("place:"))
        return camera.change_place_mark(place, kept, None if told is None else replace(kept, **told))

    def _selected(self) -> None:
        mark = self._mark(self.table.currentRow())
        if not self._filling and mark is not None and self.table.selectedItems():
            self._bench.select(None if mark.id in self._lent else PartRef(Kind.MARK, mark.id))

    def _delete(self, row: int) -> None:
        mark = self._mark(row)
        if mark is not None:
            self._bench.attempt(lambda: self._change(mark, None))


def _by_place(mark: GroundMark) -> tuple[float, float, float, str]:
    return mark.x_m, mark.y_m, mark.z_m, mark.id
