"""Whether a film that looks like slow motion was filmed at another rate than it plays at; asked once."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Slot

from analysis.values.finding import Finding
from analysis.values.words import tr
from app.bench import Bench
from app.run.question_bar import Answer, Question


class RateQuestion(QObject):
    """Puts the film check's doubt about the pace into a question, until the coach names a rate."""

    def __init__(self, bench: Bench, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench

    def question(self, findings: Sequence[Finding] | None) -> Question | None:
        """The question and its answers; None where nothing is to be asked. Repeats are asked about first."""
        run, film = self._bench.run, self._bench.film
        entry = self._bench.project.films.get(run.film_id) if run is not None else None
        if entry is None or film is None or entry.coach_rate_hz is not None:
            return None
        topics = {one.topic for one in findings or ()}
        if "pace" not in topics or ("repeats" in topics and entry.every is None):
            return None
        words = tr(
            "The film plays at {rate:.4g} frames a second, and by its times the athlete moves slower than a "
            "walk. Was it filmed in slow motion?"
        ).format(rate=film.container_rate_hz)
        answers = (
            Answer(tr("Filmed at 240"), self._at_240),
            Answer(tr("Filmed at 120"), self._at_120),
            Answer(tr("It is right"), self._right),
        )
        return Question(words, answers)

    @Slot()
    def _at_240(self) -> None:
        self._tell(240.0)

    @Slot()
    def _at_120(self) -> None:
        self._tell(120.0)

    @Slot()
    def _right(self) -> None:
        film = self._bench.film
        if film is not None:
            self._tell(film.container_rate_hz)

    def _tell(self, rate_hz: float) -> None:
        self._bench.try_to(lambda: self._bench.set_filming_rate(rate_hz))
