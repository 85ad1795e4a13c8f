"""Typical errors that the coach takes from elsewhere, each with where it stands."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from analysis.reading.key_names import measure_name
from analysis.report.words import unit_shown
from analysis.values.command import Change, Kind, command
from analysis.values.comparison import PublishedError
from analysis.values.typed import typed_number
from analysis.values.words import tr
from app.bench import Bench
from app.run.link_button import LinkButton
from app.run.section_view import empty, said
from app.theme.tokens import Space


class PublishedErrors(QWidget):
    """Folded away until the coach has one. They are kept with the project; each is an edit like any other."""

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._shown: dict[str, PublishedError] = {}
        self.open = LinkButton(tr("A typical error from elsewhere"), self)
        self.open.setCheckable(True)
        self.open.setToolTip(
            tr("With one run on a side, or few runs of this athlete, it says from where on a change counts")
        )
        self.measure = QComboBox(self)
        self.measure.setAccessibleName(tr("Measure of the typical error"))
        self.error = QLineEdit(self)
        self.error.setAccessibleName(tr("Typical error"))
        self.error.setMaximumWidth(90)
        self.unit = QLabel(self)
        self.source = QLineEdit(self)
        self.source.setAccessibleName(tr("Where it stands"))
        self.source.setPlaceholderText(tr("Where does it stand? Author, year, whom. Return keeps it"))
        self.trouble = said("", "warning", wrap=True)
        self.trouble.hide()
        row = QHBoxLayout()
        row.addWidget(self.measure, 1)
        row.addWidget(self.error)
        row.addWidget(self.unit)
        self._form = QWidget(self)
        form = QVBoxLayout(self._form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setSpacing(Space.TIGHT)
        form.addLayout(row)
        form.addWidget(self.source)
        form.addWidget(self.trouble)
        self._kept = QVBoxLayout()
        self._back: dict[QPushButton, str] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.TIGHT)
        column.addWidget(self.open, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self._form)
        column.addLayout(self._kept)
        self._form.hide()
        self.open.toggled.connect(self._toggled)
        self.measure.currentIndexChanged.connect(self._show_unit)
        for field in (self.error, self.source):
            field.returnPressed.connect(self._keep)

    def offer(self, measures: Iterable[str]) -> None:
        """The measures that there are to judge; the one at hand stays at hand."""
        wanted = list(dict.fromkeys(measures))
        if wanted == [self.measure.itemData(n) for n in range(self.measure.count())]:
            return
        held = self.measure.currentData()
        self.measure.clear()
        for one in wanted:
            self.measure.addItem(measure_name(one), one)
        self.measure.setCurrentIndex(max(0, self.measure.findData(held)))

    @Slot(bool)
    def _toggled(self, shown: bool) -> None:
        self._form.setVisible(shown)
        if shown:
            self.measure.setFocus()

    @Slot()
    def _show_unit(self) -> None:
        measure = self.measure.currentData()
        self.unit.setText(unit_shown(measure).symbol if measure else "")

    @Slot()
    def _keep(self) -> None:
        measure, source = self.measure.currentData(), self.source.text().strip()
        unit = unit_shown(measure) if measure else None
        number = typed_number(self.error.text(), unit.symbol if unit is not None else "")
        trouble = ""
        if not 0 < number < float("inf"):  # also where it is none
            trouble = tr("Write the typical error as a number above 0.")
        elif not source:
            trouble = tr("Say where it stands: a number without a source is not used.")
        self.trouble.setText(trouble)
        self.trouble.setVisible(bool(trouble))
        if trouble or unit is None:
            return
        self._edit(measure, PublishedError(measure, number / unit.factor, source))
        self.open.setChecked(False)
        self.error.clear()
        self.source.clear()

    @property
    def chosen(self) -> dict[str, PublishedError]:
        """Those of the project, by measure."""
        return dict(self._bench.project.published_errors)

    def _edit(self, measure: str, new: PublishedError | None) -> None:
        change = Change(Kind.PUBLISHED_ERROR, measure, self.chosen.get(measure), new)
        self._bench.attempt(lambda: command(tr("Typical error from elsewhere"), (change,)))

    def refresh(self) -> None:
        """Show those of the project as it stands now, each with a way to do without it."""
        if self.chosen == self._shown:
            return
        self._shown = self.chosen
        empty(self._kept)
        self._back.clear()
        for measure, one in self._shown.items():
            unit = unit_shown(measure)
            words = tr("Without {measure}: {error:g} {unit}, {source}").format(
                measure=measure_name(measure).lower(),
                error=round(one.typical_error * unit.factor, 6),
                unit=unit.symbol,
                source=one.source,
            )
            link = LinkButton(words, self)
            link.clicked.connect(self._taken_back)
            self._back[link] = measure
            self._kept.addWidget(link, 0, Qt.AlignmentFlag.AlignLeft)
            link.show()

    @Slot()
    def _taken_back(self) -> None:
        link = self.sender()
        assert isinstance(link, QPushButton)
        self._edit(self._back[link], None)
