"""Who ran: a code, and what measures need to know of the body."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QWidget

from analysis.values.conditions import AgeGroup
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking.athlete import SEXES, change_athlete, choose_athlete
from app.run.named_rows import headed_form, line
from app.run.place.told_field import ToldField

LEAST_STATURE_M, MOST_STATURE_M = 0.5, 2.6
LEAST_MASS_KG, MOST_MASS_KG = 10.0, 250.0


class AthleteForm(QWidget):
    """A form; each field is one edit when it is left. An athlete's facts serve all of the athlete's runs."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.who = QComboBox(self)
        self.code = line(tr("not said"), self)
        self.sex = QComboBox(self)
        for words, sex in zip((tr("not said"), tr("female"), tr("male")), (None, *SEXES), strict=True):
            self.sex.addItem(words, sex)
        self.age = QComboBox(self)
        ages = (tr("not said"), None), (tr("adult"), AgeGroup.ADULT), (tr("youth"), AgeGroup.YOUTH)
        for words, age in (*ages, (tr("child"), AgeGroup.CHILD)):
            self.age.addItem(words, age)
        self.sport = line(tr("not said"), self)
        self.stature = ToldField(
            tr("Stature"),
            tr("Standing height without shoes; a rough scale where there are no marks"),
            LEAST_STATURE_M,
            MOST_STATURE_M,
            "m",
            self,
        )
        self.mass = ToldField(
            tr("Body mass"), tr("Body mass, for forces"), LEAST_MASS_KG, MOST_MASS_KG, "kg", self
        )
        rows = (
            (tr("Who ran"), tr("An athlete of this project"), self.who),
            (tr("Code"), tr("What stands for the name"), self.code),
            (tr("Sex"), tr("For the masses of the body's parts"), self.sex),
            (tr("Age group"), tr("The bands that come with the program are for adults"), self.age),
            (tr("Sport group"), tr("Bands may be for one group"), self.sport),
            (tr("Stature"), "", self.stature),
            (tr("Body mass"), "", self.mass),
        )
        headed_form(self, tr("Athlete"), rows)
        self.who.activated.connect(self._take_who)
        self.code.editingFinished.connect(self._take_code)
        self.sex.activated.connect(self._take_sex)
        self.age.activated.connect(self._take_age)
        self.sport.editingFinished.connect(self._take_sport)
        self.stature.told.connect(self._take_stature)
        self.mass.told.connect(self._take_mass)
        for told in (self.stature, self.mass):
            told.refused.connect(bench.said)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        athlete = self._bench.project.athlete_of(run)
        self.who.clear()
        self.who.addItem(tr("nobody named"), None)
        for one in sorted(self._bench.project.athletes.values(), key=lambda each: each.code):
            self.who.addItem(one.code, one.id)
        self.who.setCurrentIndex(max(0, self.who.findData(None if athlete is None else athlete.id)))
        self.code.setText("" if athlete is None else athlete.code)
        self.sex.setCurrentIndex(max(0, self.sex.findData(None if athlete is None else athlete.sex)))
        self.age.setCurrentIndex(max(0, self.age.findData(None if athlete is None else athlete.age)))
        self.sport.setText("" if athlete is None else athlete.sport or "")
        self.stature.show_value(None if athlete is None else athlete.stature_m)
        self.mass.show_value(None if athlete is None else athlete.mass_kg)

    def _change(self, **told: Any) -> None:
        run = self._bench.run
        if run is not None:
            self._bench.attempt(lambda: change_athlete(self._bench.project, run, **told))

    @Slot()
    def _take_who(self) -> None:
        run = self._bench.run
        if run is not None:
            self._bench.attempt(lambda: choose_athlete(run, self.who.currentData()))

    @Slot()
    def _take_code(self) -> None:
        run, code = self._bench.run, self.code.text().strip()
        athlete = self._bench.project.athlete_of(run)
        if not code or code == ("" if athlete is None else athlete.code):
            self._show_run(run)
            return
        if any(one.code == code for one in self._bench.project.athletes.values()):
            self._bench.said.emit(
                tr("There is an athlete {code} already. Choose that one, or write another code.").format(
                    code=code
                )
            )
            self._show_run(run)
            return
        self._change(code=code)

    @Slot()
    def _take_sex(self) -> None:
        self._change(sex=self.sex.currentData())

    @Slot()
    def _take_age(self) -> None:
        data = self.age.currentData()
        self._change(age=None if data is None else AgeGroup(data))

    @Slot()
    def _take_sport(self) -> None:
        run, sport = self._bench.run, self.sport.text().strip() or None
        athlete = self._bench.project.athlete_of(run)
        if sport != (None if athlete is None else athlete.sport):
            self._change(sport=sport)

    @Slot(object)
    def _take_stature(self, metres: float | None) -> None:
        self._change(stature_m=metres)

    @Slot(object)
    def _take_mass(self, kilograms: float | None) -> None:
        self._change(mass_kg=kilograms)
