"""Who agreed to be filmed and to be shown: two things, each noted with its day, each withdrawable."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QWidget

from analysis.values.command import Change, Command, Kind, command
from analysis.values.consent import Agreement, Consent, why_not_shared
from analysis.values.errors import CinderlaneError
from analysis.values.project import Project
from analysis.values.run import Athlete, Run
from analysis.values.typed import today, typed_day
from analysis.values.words import tr
from app.bench import Bench
from app.run.named_rows import headed_form, line
from app.run.section_view import said


class AgreementFields(QWidget):
    """One agreement: two ticks, and the days on which it was given and withdrawn.

    Signals: told(Agreement): the coach changed it. refused(str): a day that is none.
    """

    told = Signal(object)
    refused = Signal(str)

    def __init__(self, what: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._now = Agreement()
        self.athlete = QCheckBox(tr("athlete"), self)
        self.guardian = QCheckBox(tr("guardian"), self)
        self.given = line(tr("day"), self)
        self.withdrawn = line(tr("not withdrawn"), self)
        for field, words in (
            (self.athlete, tr("{what}: the athlete agrees")),
            (self.guardian, tr("{what}: the guardian agrees")),
            (self.given, tr("{what}: given on, year-month-day")),
            (self.withdrawn, tr("{what}: withdrawn on, year-month-day")),
        ):
            field.setAccessibleName(words.format(what=what))
            field.setToolTip(words.format(what=what))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for tick in (self.athlete, self.guardian):
            row.addWidget(tick)
            tick.clicked.connect(self._take)
        row.addStretch(1)
        for day in (self.given, self.withdrawn):
            day.editingFinished.connect(self._take)

    def show_agreement(self, agreement: Agreement) -> None:
        """Show what is noted."""
        self._now = agreement
        self.athlete.setChecked(agreement.athlete)
        self.guardian.setChecked(agreement.guardian)
        self.given.setText(agreement.given)
        self.withdrawn.setText(agreement.withdrawn)

    @Slot()
    def _take(self) -> None:
        try:
            given, withdrawn = typed_day(self.given.text()), typed_day(self.withdrawn.text())
        except CinderlaneError as error:
            self.refused.emit(str(error))
            self.show_agreement(self._now)
            return
        agreed = self.athlete.isChecked(), self.guardian.isChecked()
        if any(agreed) and not given and not (self._now.athlete or self._now.guardian):
            given = today()
        new = Agreement(*agreed, given, withdrawn)
        if new != self._now:
            self.told.emit(new)


class ConsentForm(QWidget):
    """Of the athlete of the run at hand; each tick and each day is one edit."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.filming = AgreementFields(tr("Consent to be filmed"), self)
        self.sharing = AgreementFields(tr("Consent to be shown"), self)
        self.state = said("", "caption", wrap=True)
        rows = (
            (tr("To be filmed"), "", self.filming),
            (tr("given"), "", self.filming.given),
            (tr("withdrawn"), "", self.filming.withdrawn),
            (tr("To be shown"), "", self.sharing),
            (tr("given"), "", self.sharing.given),
            (tr("withdrawn"), "", self.sharing.withdrawn),
        )
        headed_form(self, tr("Consent"), rows).addRow(self.state)
        self.filming.told.connect(self._take_filming)
        self.sharing.told.connect(self._take_sharing)
        for fields in (self.filming, self.sharing):
            fields.refused.connect(bench.said)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        athlete = self._bench.project.athlete_of(run)
        consent = None if athlete is None else self._bench.project.consents.get(athlete.id)
        now = consent or Consent("")
        self.filming.show_agreement(now.filming)
        self.sharing.show_agreement(now.sharing)
        for field in (self.filming, self.sharing, *self._days()):
            field.setEnabled(athlete is not None)
        self.state.setText(_words(athlete, consent))

    def _days(self) -> tuple[QLineEdit, ...]:
        both = self.filming, self.sharing
        return tuple(day for fields in both for day in (fields.given, fields.withdrawn))

    @Slot(object)
    def _take_filming(self, agreement: Agreement) -> None:
        self._change("filming", agreement)

    @Slot(object)
    def _take_sharing(self, agreement: Agreement) -> None:
        self._change("sharing", agreement)

    def _change(self, which: str, agreement: Agreement) -> None:
        athlete = self._bench.project.athlete_of(self._bench.run)
        if athlete is not None:
            self._bench.attempt(lambda: note_consent(self._bench.project, athlete, which, agreement))


def note_consent(project: Project, athlete: Athlete, which: str, agreement: Agreement) -> Command:
    """Note one of the two agreements of an athlete."""
    old = project.consents.get(athlete.id)
    told: Any = {which: agreement}
    new = replace(old or Consent(athlete.id), **told)
    kept = None if new == Consent(athlete.id) else new
    return command(tr("Consent"), (Change(Kind.CONSENT, athlete.id, old, kept),))


def _words(athlete: Athlete | None, consent: Consent | None) -> str:
    if athlete is None:
        return tr("Say who ran first: consent is the athlete's.")
    why = why_not_shared(consent, athlete.age)
    shown = why or tr("Films may be shown.")
    return f"{shown} {tr('Of a minor both must agree. No name of a guardian is kept.')}"
