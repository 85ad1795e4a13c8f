"""How an annotated film is to be: its pace, stretch and size, what stands on it, who may see it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDoubleSpinBox,
    QFormLayout,
    QVBoxLayout,
    QWidget,
)

from analysis.jobs.film_runs import moment_key
from analysis.jobs.film_wish import HEIGHTS, FilmWish
from analysis.reading.laying import Lock, LockKind, moment_words
from analysis.reading.lock import moments
from analysis.report.film_frames import Look
from analysis.report.film_order import LONGEST_HOLD_S, Pace
from analysis.report.posture_lines import Drawn
from analysis.values.audience import Faces
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import tr
from app.film.transport import SPEEDS
from app.run.audience_choice import AudienceChoice
from app.run.audience_dialog import write_buttons
from app.run.section_view import said
from app.theme.tokens import Space

_USUAL = 0.25
_LAID = (
    (tr("First movement"), LockKind.EVENT),
    (tr("All events"), LockKind.ALL_EVENTS),
    (tr("The same metre"), LockKind.PLACE),
)


class FilmExportDialog(QDialog):
    """One sheet. Not modal; what was chosen stays until the program ends."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Export annotated film"))
        self.speed, self.begin, self.end, self.height_px, self.beside, self.laid, self.narration = (
            QComboBox(self) for _ in range(7)
        )
        for share in sorted(SPEEDS):
            self.speed.addItem(tr("{share:g} × real time").format(share=share), share)
        self.speed.setCurrentIndex(self.speed.findData(_USUAL))
        self.hold = self._seconds()
        self.height_px.addItem(tr("as the film is"), None)
        for height in reversed(HEIGHTS):
            self.height_px.addItem(tr("{height} px high").format(height=height), height)
        for words, kind in _LAID:
            self.laid.addItem(words, kind)
        self.rail = self._tick(tr("Step rail beside the picture"), checked=True)
        self.numbers = self._tick(tr("Numbers over the picture"), checked=True)
        self.choice = AudienceChoice(self)
        self.covers = said("", "caption", wrap=True)
        self.choice.faces.currentIndexChanged.connect(self._show_covers)
        self._lay_out()
        for changed in (self.beside.currentIndexChanged, self.narration.currentIndexChanged):
            changed.connect(self._enable)

    def _seconds(self) -> QDoubleSpinBox:
        field = QDoubleSpinBox(self)
        field.setRange(0.0, LONGEST_HOLD_S)
        field.setSingleStep(0.5)
        field.setDecimals(1)
        field.setSuffix(tr(" s"))
        field.setSpecialValueText(tr("not at all"))
        return field

    def _tick(self, words: str, *, checked: bool = False) -> QCheckBox:
        tick = QCheckBox(words, self)
        tick.setChecked(checked)
        return tick

    def _lay_out(self) -> None:
        form = QFormLayout()
        for words, field in (
            (tr("Narration"), self.narration),
            (tr("Speed"), self.speed),
            (tr("Stand at each touchdown"), self.hold),
            (tr("From"), self.begin),
            (tr("To"), self.end),
            (tr("Run below it"), self.beside),
            (tr("Laid together by"), self.laid),
            (tr("Picture"), self.height_px),
        ):
            form.addRow(words, field)
        buttons, self.write = write_buttons(self, tr("Write the film…"))
        column = QVBoxLayout(self)
        column.setSpacing(Space.WIDE)
        words = tr("MP4 for any phone. What is drawn over the film is drawn on it.")
        column.addWidget(said(words, "caption", wrap=True))
        column.addLayout(form)
        for part in (self.rail, self.numbers, self.choice, self.covers):
            column.addWidget(part)
        column.addWidget(buttons)

    def show_run(self, project: Project, run: Run, reading: Reading | None, beside: str = "") -> None:
        """Offer what there is of a run: its events, the other runs, its narrations. ``beside``: a run that
        stands below it already.
        """
        tagged = [(moment_words(moment), moment_key(moment)) for moment in moments(run, reading)]
        _fill(self.begin, (tr("the run's begin"), None), tagged)
        _fill(self.end, (tr("the run's end"), None), tagged)
        others = [(one.name, one.id) for one in project.sprints if one.id != run.id and not one.retags]
        _fill(self.beside, (tr("none"), ""), sorted(others))
        if beside:
            self.beside.setCurrentIndex(max(0, self.beside.findData(beside)))
        told = [(one.name, one.id) for one in project.narrations.values() if run.id in one.run_ids]
        _fill(self.narration, (tr("none"), ""), told)
        self._enable()

    def mind_covers(self, notes: Sequence[str]) -> None:
        """Say where a face's cover may be large, as long as faces are covered."""
        self.covers.setText("\n".join(notes))
        self._show_covers()

    @Slot()
    def _show_covers(self) -> None:
        covered = self.choice.audience.faces is not Faces.SHOWN
        self.covers.setVisible(covered and bool(self.covers.text()))

    @Slot()
    def _enable(self) -> None:
        """What a narration says itself is not asked."""
        narrated = bool(self.narration.currentData())
        for field in (self.speed, self.hold, self.begin, self.end, self.beside, self.rail, self.numbers):
            field.setEnabled(not narrated)
        self.narration.setEnabled(self.narration.count() > 1)
        self.laid.setEnabled(not narrated and bool(self.beside.currentData()))

    def wish(self, drawn: Drawn) -> FilmWish:
        """What was chosen. ``drawn``: what of posture lies over the picture."""
        height = self.height_px.currentData()
        return FilmWish(
            Pace(float(self.speed.currentData()), round(self.hold.value(), 1)),
            Look(drawn, self.numbers.isChecked(), self.rail.isChecked(), height),
            first=self.begin.currentData(),
            last=self.end.currentData(),
            audience=self.choice.audience,
            beside=self.beside.currentData() or "",
            lock=Lock(LockKind(self.laid.currentData())),
            narration=self.narration.currentData() or "",
        )


def _fill(box: QComboBox, first: tuple[str, object], items: Sequence[tuple[str, object]]) -> None:
    """Other items; what was chosen stays where it still is among them."""
    before = box.currentData()
    box.clear()
    for words, data in (first, *items):
        box.addItem(words, data)
    box.setCurrentIndex(max(0, box.findData(before)) if before is not None else 0)
