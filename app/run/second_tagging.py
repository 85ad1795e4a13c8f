"""Tagging a run again, unseen: begun, finished and given up; the question over the film while it goes on."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from analysis.steps.retagging import tagging_words
from analysis.values.command import Command
from analysis.values.errors import FootfallError
from analysis.values.run import Run
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.marking import retagging
from app.run.question_bar import Answer, Question, QuestionBar


class SecondTagging(QObject):
    """One key begins it and ends it. The second run holds no event and no point of the first."""

    def __init__(self, bench: Bench, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._actions = actions
        self.bar = QuestionBar()
        actions.do("tag_again", self._begin_or_finish)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    @Slot()
    def _begin_or_finish(self) -> None:
        run = self._bench.run
        if run is None or self._bench.facts is None:
            self._bench.said.emit(tr("Open a run that is tagged first: it is tagged a second time, unseen."))
        elif run.retags is None:
            self._begin(run)
        else:
            self._finish()

    def _begin(self, run: Run) -> None:
        self._actions["show_run"].trigger()  # beside the other run its tags would be seen
        second = retagging.second_of(self._bench.project, run)
        if second is not None:  # begun before, and left
            self._bench.choose_run(second.id)
            return
        try:
            begun, run_id = retagging.begin(run)
        except FootfallError as error:
            self._bench.said.emit(str(error))
            return
        if self._bench.attempt(lambda: begun):
            self._bench.choose_run(run_id)

    @Slot()
    def _finish(self) -> None:
        second, facts = self._bench.run, self._bench.facts
        if second is None or second.retags is None or facts is None:
            return
        try:
            done, found = retagging.finish(self._bench.project, second, facts.times)
        except FootfallError as error:
            self._bench.said.emit(str(error))
            return
        if self._leave(second, done):
            self._bench.said.emit(tagging_words(found) + " " + tr("Undo takes it back."))

    @Slot()
    def _give_up(self) -> None:
        second = self._bench.run
        if second is None or second.retags is None:
            return
        if self._leave(second, retagging.give_up(second)):
            self._bench.said.emit(tr("The second tagging was given up. Undo brings it back."))

    def _leave(self, second: Run, done: Command) -> bool:
        """Back to the first run, and the edit that takes the second one off."""
        if second.retags is not None:
            self._bench.choose_run(second.retags)
        return self._bench.attempt(lambda: done)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        if run is None or run.retags is None:
            self.bar.ask(Question())
            return
        first = retagging.first_of(self._bench.project, run)
        words = tr(
            "Tagging {run} again, unseen: {count} of {all} events. Tag every touchdown and toe-off as if for "
            "the first time."
        ).format(
            run="" if first is None else first.name,
            count=retagging.tagged(run),
            all=0 if first is None else retagging.tagged(first),
        )
        answers = Answer(tr("Compare the two"), self._finish), Answer(tr("Give it up"), self._give_up)
        self.bar.ask(Question(words, answers))
