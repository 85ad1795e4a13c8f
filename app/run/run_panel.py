"""What the coach states about the run and its film: name, filming rate, direction, splits, notes."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QLocale, QSize, Slot
from PySide6.QtGui import QAction, QFocusEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QWidget,
)

from analysis.report.film_words import rate_words
from analysis.values.answers import Unsaid
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film
from analysis.values.run import Direction, Run, Side
from analysis.values.words import tr
from app.bench import Bench
from app.marking import facts
from app.marking.events import set_front_side
from app.marking.facts import MOST_RATE_HZ
from app.marking.placing import change_run
from app.run.athlete_form import AthleteForm
from app.run.conditions_form import ConditionsForm
from app.run.consent_form import ConsentForm
from app.run.film_panel import FilmPanel
from app.run.named_rows import add_rows
from app.run.tagging_box import TaggingBox

_NOTE_LINES = 4


class _Notes(QPlainTextEdit):
    """A text that is handed in when the field is left."""

    def __init__(self, panel: RunPanel) -> None:
        super().__init__(panel)
        self._panel = panel
        self.setTabChangesFocus(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """A few lines: what stands under it matters too."""
        return QSize(super().sizeHint().width(), _NOTE_LINES * self.fontMetrics().lineSpacing())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._panel.take_notes()


class RunPanel(QWidget):
    """A form; each field is one edit when it is left."""

    def __init__(self, bench: Bench, tag_again: QAction, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._filling = False
        self.name = QLineEdit(self)
        self.rate = QDoubleSpinBox(self)
        self.rate.setRange(0.0, MOST_RATE_HZ)
        self.rate.setDecimals(2)
        self.rate.setKeyboardTracking(False)
        self.rate.setLocale(QLocale.c())
        self.rate.setSuffix(tr(" a second"))
        self.rate.setSpecialValueText(tr("as the film says"))
        self.rates = QLabel(self)
        self.rates.setWordWrap(True)
        self.rates.setProperty("role", "caption")
        self.rates.setAccessibleName(tr("Frames a second, filmed and played"))
        self.direction = QComboBox(self)
        self.direction.addItem(tr("to the right"), Direction.RIGHT)
        self.direction.addItem(tr("to the left"), Direction.LEFT)
        self.front = QComboBox(self)
        for words, side in ((tr("not said"), None), (tr("left"), Side.LEFT), (tr("right"), Side.RIGHT)):
            self.front.addItem(words, side)
        self.places = QLineEdit(self)
        self.notes = _Notes(self)
        self.hint = QLabel(self)
        self.hint.setWordWrap(True)
        self.hint.setProperty("role", "caption")
        form = QFormLayout(self)
        form.setContentsMargins(10, 8, 10, 8)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        film_rows = (
            (tr("Name"), tr("What the run is called in this project"), self.name),
            (
                tr("Filmed at"),
                tr("Frames a second that the camera was set to; 0: as the film says"),
                self.rate,
            ),
        )
        add_rows(form, film_rows)
        form.addRow("", self.rates)
        self.film = FilmPanel(bench, self)
        form.addRow(self.film)  # the first thing to know of a film
        run_rows = (
            (tr("Runs"), tr("Which way the athlete crosses the picture"), self.direction),
            (tr("Front foot"), tr("The foot that stood in front at the start"), self.front),
            (tr("Splits at, m"), tr("Where times and speeds are read, such as 5, 10"), self.places),
            (tr("Notes"), tr("Anything worth keeping about this run"), self.notes),
        )
        add_rows(form, run_rows)
        form.addRow(self.hint)
        self.athlete, self.consent = AthleteForm(bench, self), ConsentForm(bench, self)
        self.conditions = ConditionsForm(bench, self)
        self.tagging = TaggingBox(bench, tag_again, self)
        for part in (self.athlete, self.consent, self.conditions, self.tagging):
            form.addRow(part)
        self.name.editingFinished.connect(self._take_name)
        self.rate.valueChanged.connect(self._take_rate)
        self.direction.activated.connect(self._take_direction)
        self.front.activated.connect(self._take_front)
        self.places.editingFinished.connect(self._take_places)
        bench.run_changed.connect(self._show_run)
        bench.film_changed.connect(self._show_film)
        self._show_run(bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        self._filling = True
        self.setEnabled(run is not None)
        entry = self._bench.project.films.get(run.film_id) if run is not None else None
        self.name.setText(run.name if run is not None else "")
        self.rate.setValue((entry.coach_rate_hz or 0.0) if entry is not None else 0.0)
        self.direction.setCurrentIndex(
            self.direction.findData(run.direction if run is not None else Direction.RIGHT)
        )
        self.front.setCurrentIndex(self.front.findData(run.start.front_side if run is not None else None))
        self.places.setText(", ".join(f"{x:g}" for x in run.report_at_m) if run is not None else "")
        if not self.notes.hasFocus():
            self.notes.setPlainText(run.notes if run is not None else "")
        self._filling = False
        self._show_film(self._bench.film)

    @Slot(object)
    def _show_film(self, film: Film | None) -> None:
        self.rates.setText(rate_words(film) if film is not None else "")
        self.rates.setVisible(film is not None)
        self.hint.setText(" ".join(film.notes) if film is not None else "")

    @Slot()
    def _take_name(self) -> None:
        run, name = self._bench.run, self.name.text().strip()
        if run is not None and not self._filling and name and name != run.name:
            self._bench.attempt(lambda: change_run(run, replace(run, name=name), tr("Name of the run")))

    @Slot(float)
    def _take_rate(self, rate: float) -> None:
        run = self._bench.run
        entry = self._bench.project.films.get(run.film_id) if run is not None else None
        if entry is None or self._filling or rate == (entry.coach_rate_hz or 0.0):
            return
        try:
            self._bench.set_filming_rate(rate or None)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            self._show_run(self._bench.run)

    @Slot()
    def _take_direction(self) -> None:
        run, direction = self._bench.run, self.direction.currentData()
        if run is not None:
            self._bench.attempt(
                lambda: change_run(
                    run, replace(run, direction=Direction(direction)), tr("Direction of the run")
                )
            )

    @Slot()
    def _take_front(self) -> None:
        run, side = self._bench.run, self.front.currentData()
        if run is not None:
            self._bench.attempt(lambda: set_front_side(run, None if side is None else Side(side)))

    @Slot()
    def _take_places(self) -> None:
        run, text = self._bench.run, self.places.text()
        if run is None or self._filling or text == ", ".join(f"{x:g}" for x in run.report_at_m):
            return
        if not self._bench.attempt(lambda: facts.report_at(run, text)):
            self._show_run(self._bench.run)

    def field_of(self, fact: Unsaid) -> QWidget:
        """Where a fact that was taken for granted is said."""
        return self.athlete.age if fact is Unsaid.AGE else self.conditions.stance

    def take_notes(self) -> None:
        """Hand the notes in."""
        run, text = self._bench.run, self.notes.toPlainText()
        if run is not None and text != run.notes:
            self._bench.attempt(lambda: change_run(run, replace(run, notes=text), tr("Notes")))
