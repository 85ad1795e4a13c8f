"""Under which conditions a run was made: what decides with which other runs it may be compared."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QComboBox, QWidget

from analysis.report.page_facts import STANCE_WORDS
from analysis.values.conditions import Conditions, Stance
from analysis.values.errors import CinderlaneError
from analysis.values.run import Run
from analysis.values.typed import typed_day
from analysis.values.words import tr
from app.bench import Bench
from app.marking.placing import change_run
from app.run.named_rows import headed_form, line
from app.run.place.told_field import ToldField

_STANCES = ((tr("not said"), None), *((words, stance) for stance, words in STANCE_WORDS.items()))
_MOST_LOAD_KG, _MOST_WIND_M_S, _MOST_REP = 200.0, 15.0, 99.0


class ConditionsForm(QWidget):
    """A form; each field is one edit when it is left."""

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self.day = line(tr("such as 2026-03-20"), self)
        self.stance = QComboBox(self)
        for words, stance in _STANCES:
            self.stance.addItem(words, stance)
        self.load = ToldField(
            tr("Load"),
            tr("Pulled or worn; negative where the athlete was helped forwards"),
            -_MOST_LOAD_KG,
            _MOST_LOAD_KG,
            "kg",
            self,
        )
        self.surface, self.shoe, self.cue = (line(tr("not said"), self) for _ in range(3))
        wind = tr("Along the run, positive from behind")
        self.wind = ToldField(tr("Wind"), wind, -_MOST_WIND_M_S, _MOST_WIND_M_S, "m/s", self)
        self.rep = ToldField(tr("Rep"), tr("Number of the run on its day"), 1.0, _MOST_REP, "", self)
        self.good = QCheckBox(tr("A good run"), self)
        self.good.setToolTip(tr("Five good runs of an athlete, or of the squad, make a pattern of their own"))
        rows = (
            (tr("Day"), tr("When it was run, year-month-day"), self.day),
            (tr("Start stance"), tr("How the athlete stood before the first movement"), self.stance),
            (tr("Load"), "", self.load),
            (tr("Surface"), tr("What was run on"), self.surface),
            (tr("Shoe"), tr("What was worn"), self.shoe),
            (tr("Wind"), "", self.wind),
            (tr("Rep"), "", self.rep),
            (tr("Cue"), tr("What the athlete was told before the run"), self.cue),
        )
        headed_form(self, tr("Conditions"), rows).addRow(self.good)
        self.day.editingFinished.connect(self._take_day)
        self.stance.activated.connect(self._take_stance)
        for written in (self.surface, self.shoe, self.cue):
            written.editingFinished.connect(self._take_words)
        self.load.told.connect(self._take_load)
        self.wind.told.connect(self._take_wind)
        self.rep.told.connect(self._take_rep)
        for told in (self.load, self.wind, self.rep):
            told.refused.connect(bench.said)
        self.good.clicked.connect(self._take_good)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        now = Conditions() if run is None else run.conditions
        self.day.setText(now.day)
        self.stance.setCurrentIndex(max(0, self.stance.findData(now.stance)))
        self.load.show_value(now.load_kg)
        self.surface.setText(now.surface)
        self.shoe.setText(now.shoe)
        self.wind.show_value(now.wind_m_s)
        self.rep.show_value(None if now.rep is None else float(now.rep))
        self.cue.setText(now.cue)
        self.good.setChecked(run is not None and run.named_good)

    def _change(self, **told: Any) -> None:
        run = self._bench.run
        if run is not None:
            new = replace(run, conditions=replace(run.conditions, **told))
            self._bench.attempt(lambda: change_run(run, new, tr("Conditions")))

    @Slot()
    def _take_day(self) -> None:
        try:
            day = typed_day(self.day.text())
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            self._show_run(self._bench.run)
            return
        self._change(day=day)

    @Slot()
    def _take_stance(self) -> None:
        data = self.stance.currentData()
        self._change(stance=None if data is None else Stance(data))

    @Slot()
    def _take_words(self) -> None:
        told = {"surface": self.surface, "shoe": self.shoe, "cue": self.cue}
        self._change(**{name: field.text().strip() for name, field in told.items()})

    @Slot(object)
    def _take_load(self, kilograms: float | None) -> None:
        self._change(load_kg=kilograms)

    @Slot(object)
    def _take_wind(self, speed: float | None) -> None:
        self._change(wind_m_s=speed)

    @Slot(object)
    def _take_rep(self, number: float | None) -> None:
        self._change(rep=None if number is None else round(number))

    @Slot(bool)
    def _take_good(self, good: bool) -> None:
        run = self._bench.run
        if run is not None:
            self._bench.attempt(lambda: change_run(run, replace(run, named_good=good), tr("A good run")))
