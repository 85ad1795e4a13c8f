"""What is to be asked of the film of the run at hand; one question at a time, the gravest first."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.run.film_panel import FilmPanel
from app.run.place.background_box import BackgroundBox
from app.run.place.place_box import PlaceBox
from app.run.question_bar import Answer, Question
from app.run.rate_question import RateQuestion


class FilmQuestions(QObject):
    """Whether it is there and the right one, how it was filmed, whether pictures repeat, what the camera did.

    Signals: changed(): there is another question, or none any more.
    """

    changed = Signal()

    def __init__(
        self,
        bench: Bench,
        actions: Actions,
        panel: FilmPanel,
        place: PlaceBox,
        background: BackgroundBox,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._bench, self._actions = bench, actions
        self._panel, self._place, self._background = panel, place, background
        self._rate = RateQuestion(bench, self)
        for told in (panel.found, place.question_changed, background.question_changed):
            told.connect(self.changed)
        bench.film_changed.connect(self._moved)
        bench.run_changed.connect(self._moved)

    @property
    def now(self) -> Question:
        """The question and its answers; without answers there is none."""
        if self._bench.film_state.trouble:
            return self._of_a_film_not_shown()
        return (
            self._rate.question(self._panel.findings)
            or self._of_repeats()
            or self._place.question()
            or self._background.question(self._panel.findings)
            or Question()
        )

    def _of_a_film_not_shown(self) -> Question:
        find = Answer(tr("Find the film…"), self._actions["find_film"].trigger)
        if self._bench.film_state.other is None:
            words = tr("The film of this run is not shown. Its marks and numbers are kept.")
            return Question(words, (find,))
        same = Answer(tr("It is the same film"), self._bench.accept_film)
        return Question(tr("Another file lies in this film's place."), (same, find))

    def _of_repeats(self) -> Question | None:
        """Whether pictures that stand several times are to be left out; asked once."""
        run, every = self._bench.run, self._panel.repeats
        entry = self._bench.project.films.get(run.film_id) if run is not None else None
        if every < 2 or entry is None or entry.every is not None:
            return None
        words = tr("Every picture stands {every} times in this film. Leave the repeats out?")
        return Question(
            words.format(every=every),
            (
                Answer(tr("Leave them out"), self._leave_repeats_out),
                Answer(tr("Keep every frame"), self._keep_repeats),
            ),
        )

    @Slot(object)
    def _moved(self, _: object) -> None:
        self.changed.emit()

    @Slot()
    def _leave_repeats_out(self) -> None:
        self._answer_repeats(self._panel.repeats)

    @Slot()
    def _keep_repeats(self) -> None:
        self._answer_repeats(1)

    def _answer_repeats(self, every: int) -> None:
        self._bench.try_to(lambda: self._bench.leave_out_repeats(every))
        self.changed.emit()
