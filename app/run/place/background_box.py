"""The background of the film at hand, followed beside the window where its camera moved."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from analysis.background.saying import sentences
from analysis.jobs.background import BackgroundJob
from analysis.values.camera import CameraPath
from analysis.values.command import Command
from analysis.values.finding import Finding
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking.camera import camera_of, lens_of, set_path
from app.marking.place_films import stretch_of
from app.run.place.work_row import WorkRow
from app.run.question_bar import Answer, Question
from app.theme.tokens import Space


class BackgroundBox(QWidget):
    """What is known of how the camera moved, and the work that finds it out. ``work``: the row that shows how
    far it is; it stands over the film.

    Signals: question_changed(): there is another question, or none any more.
    """

    question_changed = Signal()

    def __init__(self, bench: Bench, work: WorkRow, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._for: tuple[Path | None, str] = (None, "")
        self._declined: set[str] = set()
        self.work = work
        heading = QLabel(tr("How the camera moved"), self)
        heading.setProperty("role", "heading")
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.follow = QPushButton(tr("Follow the background"), self)
        self.follow.setToolTip(
            tr("For a film whose camera turned: marks of one frame then serve every frame")
        )
        self.follow.clicked.connect(self.begin)
        self.forget = QPushButton(tr("Take as still"), self)
        self.forget.setToolTip(tr("Forget what was found: the camera is taken to have stood still"))
        self.forget.clicked.connect(self._forget)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.BASE)
        for part in (heading, self.words):
            column.addWidget(part)
        for button in (self.follow, self.forget):
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        work.finished.connect(self._followed)
        work.failed.connect(self._failed)
        work.stopped.connect(self._stopped)
        bench.run_changed.connect(self._show_run)
        bench.film_changed.connect(self._film_changed)
        self._show_run(bench.run)

    def question(self, findings: tuple[Finding, ...] | None) -> Question | None:
        """What to ask the coach once the film was checked.

        A camera that stands still costs nothing: nobody is asked, and nothing is followed.
        """
        run = self._bench.run
        if run is None or self.work.busy or run.film_id in self._declined:
            return None
        words = self._why_again(run) or self._why_at_all(run, findings)
        if not words:
            return None
        return Question(words, (Answer(tr("Follow it"), self.begin), Answer(tr("Not now"), self._not_now)))

    def _why_again(self, run: Run) -> str:
        """Why the background is to be followed once more; empty where it is not."""
        project = self._bench.project
        path = camera_of(project, run.film_id).path
        if path is None or path.serves(lens_of(project, run)):
            return ""
        return tr("The lens is another one since the background was followed. Follow it again?")

    def _why_at_all(self, run: Run, findings: tuple[Finding, ...] | None) -> str:
        moving = next((one for one in findings or () if one.topic == "camera" and not one.good), None)
        if moving is None or camera_of(self._bench.project, run.film_id).path is not None:
            return ""
        if moving.value is not None:
            return tr("The camera moves. Follow the background?")
        return tr("The camera turns, or can't be seen to stand still. Follow the background?")

    @Slot()
    def begin(self) -> None:
        """Follow the background of the film at hand, beside the window."""
        run, film, project = self._bench.run, self._bench.film, self._bench.project
        entry = project.films.get(run.film_id) if run is not None else None
        if run is None or film is None or entry is None:
            return
        first, last = stretch_of(project, run.film_id)
        job = BackgroundJob(
            Path(film.path),
            first,
            min(last, film.frames - 1),
            lens=lens_of(project, run),
            coach_rate_hz=entry.coach_rate_hz,
            every=entry.every or 1,
        )
        self._for = self._bench.path, run.film_id
        words = tr("Following the background of {film}").format(film=Path(film.path).name)
        self.work.watch(job, words)
        self._show_run(run)
        self.question_changed.emit()

    @Slot()
    def _not_now(self) -> None:
        if self._bench.run is not None:
            self._declined.add(self._bench.run.film_id)
        self.question_changed.emit()

    @Slot()
    def _forget(self) -> None:
        run, project = self._bench.run, self._bench.project
        if run is not None:
            self._declined.add(run.film_id)
            self._bench.attempt(lambda: set_path(project, run.film_id, None))

    @Slot(object)
    def _followed(self, path: CameraPath) -> None:
        project_path, film_id = self._for
        project = self._bench.project
        if self._bench.path != project_path or film_id not in project.films:
            return

        def make() -> Command:
            return set_path(project, film_id, path)

        if self._bench.attempt(make):
            self._bench.said.emit(" ".join(sentences(path)))
        self.question_changed.emit()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self._bench.said.emit(sentence)
        self._stopped()

    @Slot()
    def _stopped(self) -> None:
        self._declined.add(self._for[1])  # who stopped it is not asked again
        self._show_run(self._bench.run)
        self.question_changed.emit()

    @Slot(object)
    def _film_changed(self, film: object) -> None:
        self._show_run(self._bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        project = self._bench.project
        path = None if run is None else camera_of(project, run.film_id).path
        if self.work.busy and self._bench.path != self._for[0]:
            self.work.shutdown()  # the project that asked for it is closed
        words = tr("The camera is taken to stand still. Where it turned, follow the background.")
        if run is not None and path is not None:
            again = tr(
                "It was followed with another lens than the one set now: not followed yet for this one."
            )
            words = " ".join(sentences(path)) if path.serves(lens_of(project, run)) else again
        self.words.setText(words)
        self.follow.setText(tr("Follow the background") if path is None else tr("Follow it again"))
        self.follow.setEnabled(run is not None and self._bench.film is not None and not self.work.busy)
        self.forget.setEnabled(path is not None)
