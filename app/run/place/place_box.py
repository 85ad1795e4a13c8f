"""The camera place of the run at hand: one that shares its marks with other films, or none."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from analysis.background.tie import Place, TiedPlace
from analysis.jobs.tying import TyingJob
from analysis.values.camera_place import UNMOVED
from analysis.values.command import Command
from analysis.values.errors import MarkError
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking import camera
from app.marking.place_films import picture_of, tie_through, tied_film
from app.run.place.work_row import WorkRow
from app.run.question_bar import Answer, Question
from app.theme.tokens import Space


class PlaceBox(QWidget):
    """Makes a place of this run's marks, uses one that is there, leaves it.

    Before a place is used, the film's background is held against that of another film of the place, beside
    the window. A camera that stood where it stood, or was shifted, is taken so; else the coach is asked.
    Signals: question_changed(): there is another question, or none any more.
    """

    question_changed = Signal()

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._wanted: tuple[Path | None, str, str] | None = None
        self._doubt = ""
        heading = QLabel(tr("Marks for several films"), self)
        heading.setProperty("role", "heading")
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.which = QComboBox(self)
        self.which.setAccessibleName(tr("Camera place"))
        self.which.setToolTip(tr("Films from one camera place share its marks"))
        self.which.activated.connect(self._chosen)
        self.name = QLineEdit(self)
        self.name.setAccessibleName(tr("Name of the camera place"))
        self.name.setPlaceholderText(tr("such as the lane it looks at"))
        self.name.editingFinished.connect(self._renamed)
        self.make = QPushButton(tr("Make a place of these marks"), self)
        self.make.setToolTip(tr("The marks of this run then serve every film from the same camera place"))
        self.make.clicked.connect(self._make)
        self.work = WorkRow(self)
        self.work.finished.connect(self._tied)
        self.work.failed.connect(self._not_compared)
        self.work.stopped.connect(self._given_up)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(tr("Camera place"), self.which)
        form.addRow(tr("Name"), self.name)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.BASE)
        column.addWidget(heading)
        column.addWidget(self.words)
        column.addLayout(form)
        column.addWidget(self.make)
        column.addWidget(self.work)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    def question(self) -> Question | None:
        """What to ask of the place that was chosen."""
        if not self._doubt:
            return None
        same = Answer(tr("It is the same place"), self._use_by_word)
        return Question(self._doubt, (same, Answer(tr("It is another place"), self._refuse)))

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        project = self._bench.project
        if self._wanted is not None and (run is None or self._wanted[:2] != (self._bench.path, run.id)):
            self._drop()
        place = None if run is None else camera.place_of(project, run)
        self.which.clear()
        self.which.addItem(tr("none: marks of its own"), None)
        for one in sorted(project.camera_places.values(), key=lambda each: each.name):
            self.which.addItem(one.name, one.id)
        self.which.setCurrentIndex(0 if place is None else self.which.findData(place.id))
        if not self.name.hasFocus() or place is not None:
            self.name.setText("" if place is None else place.name)
        self.setEnabled(run is not None)
        self.make.setVisible(place is None)
        films = {
            r.film_id for r in project.runs.values() if place is not None and r.camera_place_id == place.id
        }
        if place is None:
            words = tr("Films that were taken from one camera place can share their marks.")
        else:
            words = tr("{count} marks serve {films} films from this camera place.").format(
                count=len(place.marks), films=len(films)
            )
        self.words.setText(words)

    @Slot()
    def _make(self) -> None:
        run, facts, project = self._bench.run, self._bench.facts, self._bench.project
        if run is not None and facts is not None:
            size, name = (facts.width, facts.height), self.name.text()
            self._bench.attempt(lambda: camera.make_place(project, run, name, size))

    @Slot()
    def _renamed(self) -> None:
        run, project = self._bench.run, self._bench.project
        place = None if run is None else camera.place_of(project, run)
        if place is None or self.name.text().strip() == place.name:
            return
        name = self.name.text()
        if not self._bench.attempt(lambda: camera.rename_place(project, place, name)):
            self._show_run(run)

    @Slot()
    def _chosen(self) -> None:
        run, project = self._bench.run, self._bench.project
        place_id = self.which.currentData()
        if run is None or place_id == run.camera_place_id:
            return
        self._drop()
        if place_id is None:
            self._bench.attempt(lambda: camera.leave_place(project, run))
            return
        self._wanted = self._bench.path, run.id, place_id
        own = camera.camera_of(project, run.film_id)
        if any(r.film_id == run.film_id and r.camera_place_id == place_id for r in project.runs.values()):
            self._use(own.to_place, own.to_place_error_px)  # this film is tied to it already
            return
        other = tied_film(project, place_id, run.film_id)
        mine = picture_of(project, run.film_id)
        theirs = None if other is None else picture_of(project, other.id)
        if mine is None or theirs is None:
            self._ask(tr("No other film of this camera place is there to compare. Is it the same place?"))
            return
        self.work.watch(TyingJob(mine, theirs), tr("Comparing the backgrounds"))

    @Slot(object)
    def _tied(self, tied: TiedPlace) -> None:
        run, project = self._bench.run, self._bench.project
        if self._wanted is None or run is None:
            return
        other = tied_film(project, self._wanted[2], run.film_id)
        if tied.verdict not in (Place.SAME, Place.SHIFTED) or other is None:
            self._ask(tied.sentence())
            return
        to_place, error_px = tie_through(tied, other)
        if self._use(to_place, error_px):
            self._bench.said.emit(tied.sentence())

    @Slot()
    def _use_by_word(self) -> None:
        self._use(UNMOVED, camera.BY_WORD_ERROR_PX)

    @Slot()
    def _refuse(self) -> None:
        self._drop()
        self._bench.said.emit(tr("The marks of that place do not serve this film. Set marks on this film."))
        self._show_run(self._bench.run)

    def _use(self, to_place: tuple[float, ...], error_px: float) -> bool:
        run, project, wanted = self._bench.run, self._bench.project, self._wanted
        self._drop()
        if run is None or wanted is None:
            return False

        def make() -> Command:
            if wanted[2] not in project.camera_places:
                raise MarkError(tr("This camera place is not there any more."))
            return camera.use_place(project, run, wanted[2], to_place, error_px)

        done = self._bench.attempt(make)
        if not done:
            self._show_run(run)
        return done

    @Slot(str)
    def _not_compared(self, sentence: str) -> None:
        self._ask(sentence + " " + tr("Is it the same place?"))

    @Slot()
    def _given_up(self) -> None:
        self._drop()
        self._show_run(self._bench.run)

    def _ask(self, sentence: str) -> None:
        self._doubt = sentence
        self.question_changed.emit()

    def _drop(self) -> None:
        self.work.shutdown()
        asked = bool(self._doubt)
        self._wanted, self._doubt = None, ""
        if asked:
            self.question_changed.emit()
