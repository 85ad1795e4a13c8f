"""What differs between the two runs on show, or between several runs of several days, and how it ends."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal, Slot
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QBoxLayout, QCheckBox, QComboBox, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from analysis.jobs.runs import by_day, runs_of_athlete
from analysis.reading.closing import closing
from analysis.reading.compare import compare
from analysis.reading.days import later_of
from analysis.reading.several import RunsTable, runs_table
from analysis.values.bands import BandTable
from analysis.values.comparison import Claim, Comparison
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from analysis.values.words import tr
from app.bench import Bench, Look
from app.compare.lines import Lines, of_several, of_two
from app.compare.measure_table import MeasureTable
from app.compare.published import PublishedErrors
from app.compare.run_list import RunList
from app.compare.several_chart import SeveralChart
from app.compare.several_shown import several_shown
from app.run.run_readings import RunReadings
from app.run.section_view import said
from app.theme.tokens import Space

TWO, SEVERAL = 0, 1
_ONE_ROW = 560
"""Choice and tick stand side by side in so much width; the films beside need the rest."""


class Differences(QWidget):
    """Earlier day first, wherever its film lies: a difference is the later run's number less the earlier
    one's. Where days do not say which that is, the upper film comes first. Of several runs it is the last
    day's less the first one's.

    Signals:
        step_requested(int): a step of a measure that was chosen.
        run_requested(str): a run of several that was chosen, by its id.
        reshaped(): the table has other columns, and may need another width.
    """

    step_requested = Signal(int)
    run_requested = Signal(str)
    reshaped = Signal()

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._looks: tuple[Look | None, Look | None] = (None, None)
        self._rest_on: object = None
        self._kept: object = None
        self._ticked: tuple[frozenset[str], tuple[str, ...]] = (frozenset(), ())  # by the coach, for two runs
        self._comparison: Comparison | None = None
        self._several: RunsTable | None = None
        self._lines: tuple[Lines, Lines] = (Lines(), Lines())  # what differs, and everything
        self.readings = RunReadings(bench, self)
        self.readings.came.connect(self._compare)
        self.of = QComboBox(self)
        self.of.setAccessibleName(tr("What is compared"))
        self.of.addItems([tr("The two runs on show"), tr("Several runs, day by day")])
        self.of.currentIndexChanged.connect(self._turned)
        self.runs = RunList(self)
        self.runs.changed.connect(self._runs_ticked)
        self.runs.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.changed = said("", "", wrap=True)
        self.held = said("", "", wrap=True)
        self.next = said("", "", wrap=True)
        self.notes = said("", "caption", wrap=True)
        self.every = QCheckBox(tr("Also what can't be told apart"), self)
        self.every.toggled.connect(self._fill)
        self.others = QCheckBox(tr("Compare in spite of other conditions"), self)
        self.others.toggled.connect(self._compare)
        self.published = PublishedErrors(bench, self)
        self.table = MeasureTable(self)
        self.table.step_requested.connect(self.step_requested)
        self.table.selectionModel().currentRowChanged.connect(self._show_chart)
        self.chart = SeveralChart(self)
        self.chart.run_requested.connect(self.run_requested)
        top = self._top = QHBoxLayout()
        top.addWidget(self.of, 0, Qt.AlignmentFlag.AlignLeft)
        top.addSpacing(Space.WIDE)
        top.addWidget(self.every, 1, Qt.AlignmentFlag.AlignLeft)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addLayout(top)
        for part in (self.runs, self.changed, self.held, self.next, self.notes, self.others):
            column.addWidget(part)
        column.addWidget(self.published)
        column.addWidget(self.table, 3)
        column.addWidget(self.chart, 2)
        self.runs.hide()
        self.chart.hide()

    def sizeHint(self) -> QSize:
        """All columns of the table without scrolling."""
        return QSize(self.table.whole_width() + Space.WIDE + Space.BASE, super().sizeHint().height())

    def show_looks(self, upper: Look | None, lower: Look | None) -> None:
        """Compare these, and read the athlete's other runs, which say how much runs differ by themselves."""
        self._looks = upper, lower
        self.published.refresh()
        self.readings.know(self._looks)
        self._offer_runs()
        if self.several:
            self.readings.want((*self.runs.chosen, *self._others()))
            return
        self.readings.want(self._others())
        self._compare()

    def changeEvent(self, event: QEvent) -> None:
        """With larger text the tick comes under the choice."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_top"):
            both = self.of.sizeHint().width() + Space.WIDE + self.every.sizeHint().width()
            way = QBoxLayout.Direction
            self._top.setDirection(way.TopToBottom if both > _ONE_ROW else way.LeftToRight)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing is read out of sight."""
        super().hideEvent(event)
        self.readings.stop()

    @property
    def several(self) -> bool:
        """Whether several runs are compared, not the two on show."""
        return self.of.currentIndex() == SEVERAL

    def _offer_runs(self) -> None:
        """Every run of whoever ran one of the two; ticked are those of both days, until the coach ticks."""
        runs = [look.run for look in self._looks if look is not None]
        all_runs = {one.id: one for run in runs for one in (run, *runs_of_athlete(self._bench.project, run))}
        pair = frozenset(run.id for run in runs)
        days = {run.conditions.day for run in runs} - {""}
        theirs = tuple(one.id for one in all_runs.values() if one.conditions.day in days or one.id in pair)
        ticked = self._ticked[1] if self._ticked[0] == pair else theirs
        codes = {one: athlete.code for one, athlete in self._bench.project.athletes.items()}
        self.runs.fill(sorted(all_runs.values(), key=by_day), codes, ticked)

    def _others(self) -> list[str]:
        """The athlete's other runs: how much runs differ by themselves."""
        shown = [look.run for look in self._looks if look is not None]
        ids = set(self.runs.chosen) if self.several else {run.id for run in shown}
        return [
            one.id
            for run in shown[:1]
            for one in runs_of_athlete(self._bench.project, run)
            if one.id not in ids
        ]

    @Slot()
    def _turned(self) -> None:
        self.runs.setVisible(self.several)
        self.show_looks(*self._looks)

    @Slot()
    def _runs_ticked(self) -> None:
        pair = frozenset(look.run.id for look in self._looks if look is not None)
        self._ticked = pair, self.runs.chosen
        self.readings.want((*self.runs.chosen, *self._others()))

    @Slot()
    def _compare(self) -> None:
        """Work it out anew, where anything that it rests on is another."""
        if self.several:
            readings = self.readings.of(self.runs.chosen)
        else:
            looked = (None if look is None else look.reading for look in self._looks)
            readings = [reading for reading in looked if reading is not None]
        history = self.readings.of(self._others())
        rest_on = (
            self.several,
            [*map(id, readings), *map(id, history)],
            self._names(),
            self.others.isChecked(),
            self.published.chosen,
        )
        if rest_on != self._rest_on:
            self._rest_on = rest_on
            self._kept = readings, history  # so that no other reading takes their places
            self._work_out(readings, history)

    def _work_out(self, readings: list[Reading], history: list[Reading]) -> None:
        bands, allowed, published = self._bands(), self.others.isChecked(), self.published.chosen
        after, notes = readings[-1:], tuple[str, ...]()
        self._comparison, self._several, self._lines = None, None, (Lines(), Lines())
        if self.several:
            table = self._several = runs_table(
                readings, history, bands=bands, allow_other_conditions=allowed, published=published
            )
            self._comparison, after, notes = table.comparison, [*table.after], table.notes
            few, every = (of_several(table, self._name, every=each) for each in (False, True))
            self._lines = few, every
        elif len(readings) == 2:
            one, two = readings[::-1] if self._upper_is_later else readings
            self._comparison = compare(
                [one], [two], history, bands=bands, allow_other_conditions=allowed, published=published
            )
            after, notes = [two], (*_order_notes(*readings), *self._comparison.notes)
            few, every = (of_two(self._comparison, self._names(), every=each) for each in (False, True))
            self._lines = few, every
        self._say(after, notes)
        self._fill()

    def _say(self, after: list[Reading], notes: tuple[str, ...]) -> None:
        found = self._comparison
        end = None if found is None else closing(found, after)
        for part, words in (
            (self.changed, "" if end is None else end.changed),
            (self.held, "" if end is None else end.held),
            (self.next, "" if end is None else end.next),
            (self.notes, " ".join(notes)),
        ):
            part.setText(words)
            part.setVisible(bool(words))
        barred = found is not None and all(row.claim is Claim.NOT_COMPARED for row in found.rows)
        self.others.setVisible(barred or self.others.isChecked())
        self.every.setVisible(found is not None)
        self.published.setVisible(found is not None)
        self.published.offer(() if found is None else (row.key.measure for row in found.rows))

    @Slot()
    def _fill(self) -> None:
        shown = self._lines[int(self.every.isChecked())]
        self.table.held_back = len(self._lines[1].lines) - len(shown.lines)
        columns = self.table.rows.columnCount()
        self.table.rows.show_lines(shown.lines, shown.heads, said_first=shown.said_first)
        if self.table.rows.columnCount() != columns:
            self.reshaped.emit()
        self._show_chart()

    @Slot()
    def _show_chart(self) -> None:
        """The measure at hand in the table over all runs, the first one where none is at hand."""
        row, table = max(0, self.table.currentIndex().row()), self._several
        there = table is not None and row < self.table.rows.rowCount()
        key = self.table.rows.row(row).key if there else None
        shown = None if key is None or table is None else several_shown(table, key, self._name)
        self.chart.show_runs(shown)

    def _bands(self) -> tuple[BandTable, ...]:
        """Those that count for the later of the two runs: they say which way is better."""
        later = self._looks[0 if self._upper_is_later else 1]
        evidence: Evidence | None = None if later is None else later.evidence
        return () if evidence is None or evidence.bands is None else evidence.bands

    def _names(self) -> tuple[str, str]:
        """Of the two runs on show, what comes before first."""
        upper, lower = ("" if look is None else look.run.name for look in self._looks)
        return (lower, upper) if self._upper_is_later else (upper, lower)

    @property
    def _upper_is_later(self) -> bool:
        """Whether the run above is of the later day."""
        upper, lower = (None if look is None else look.reading for look in self._looks)
        return upper is not None and lower is not None and later_of(upper, lower) is upper

    def _name(self, run_id: str) -> str:
        run = self._bench.project.runs.get(run_id)
        return "" if run is None else run.name


def _order_notes(upper: Reading, lower: Reading) -> tuple[str, ...]:
    """Which run counts as the one after, where that is not plain from how the films lie."""
    later = later_of(upper, lower)
    if later is lower:
        return ()
    if later is upper:
        return (tr("The upper film is of the later day: it is what came after."),)
    return (tr("Their days do not say which run came first: the lower film counts as what came after."),)
