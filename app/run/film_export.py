"""The run at hand as an annotated film, or the frame on show as a picture: asked for, written beside."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.annotate import PICTURE, AnnotateJob, Written
from analysis.jobs.film_runs import check_shown
from analysis.jobs.film_wish import FilmWish
from analysis.report.film_frames import Look
from analysis.report.posture_lines import Drawn
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app import asking
from app.actions import Actions
from app.bench import Bench
from app.run.film_export_dialog import FilmExportDialog
from app.run.place.work_row import WorkRow
from app.run.posture_drawing import PostureDrawing


class FilmExport(QObject):
    """Asks, starts the work beside, and says what came of it; ``row`` shows how far it is.

    ``run_beside``: gives the id of the run that stands beside the one at hand; empty for none.
    """

    def __init__(
        self, bench: Bench, actions: Actions, drawing: PostureDrawing, row: WorkRow, window: QWidget
    ) -> None:
        super().__init__(window)
        self._bench, self._actions = bench, actions
        self._drawing, self._row, self._window = drawing, row, window
        self.run_beside: Callable[[], str] = str  # none
        self.dialog = FilmExportDialog(window)
        self.dialog.accepted.connect(self._begin)
        actions.do("export_film", self.ask)
        actions.do("export_picture", self.write_picture)
        bench.reading_changed.connect(self._offer_anew)
        row.finished.connect(self._written)
        row.failed.connect(bench.said)
        row.stopped.connect(self._stopped)

    @Slot()
    def ask(self) -> None:
        """Ask how; says why where nothing can be written."""
        bench, run = self._bench, self._bench.run
        if self._can_begin() and run is not None:
            self.dialog.show_run(bench.project, run, bench.reading, self.run_beside())
            self.dialog.numbers.setChecked(self._actions["numbers"].isChecked())
            self.dialog.show()

    @Slot()
    def _offer_anew(self) -> None:
        """The dialog is not modal: another run may come, or an event be tagged, while it is on show."""
        run = self._bench.run
        if run is not None and self.dialog.isVisible():
            self.dialog.show_run(self._bench.project, run, self._bench.reading)

    @Slot()
    def write_picture(self) -> None:
        """Write the frame on show with what lies over it."""
        if not self._can_begin():
            return
        path = asking.place_to_save(self._window, tr("Export picture"), tr("Picture"), PICTURE)
        if path is not None:
            frame, numbers = int(self._bench.frame), self._actions["numbers"].isChecked()
            look = Look(self._drawn(), numbers)
            self._start(path, FilmWish(look=look, first=frame, last=frame), tr("Writing the picture…"))

    def _can_begin(self) -> bool:
        if self._bench.run is None:
            self._bench.said.emit(tr("Open a film first: it is written with what is drawn over it."))
        elif self._bench.film is None:
            self._bench.said.emit(tr("The film is not shown: find it first."))
        elif self._row.busy:
            self._bench.said.emit(tr("An annotated film is still being written. Cancel stops it."))
        else:
            return True
        return False

    @Slot()
    def _begin(self) -> None:
        run, wish = self._bench.run, self.dialog.wish(self._drawn())
        if not self._can_begin() or run is None:
            return
        try:
            check_shown(self._bench.project, run.id, wish)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            return
        path = asking.place_to_save(self._window, tr("Export annotated film"), tr("Film"), ".mp4")
        if path is not None:
            self._start(path, wish, tr("Writing the annotated film…"))

    def _drawn(self) -> Drawn:
        return self._drawing.drawn

    def _start(self, path: Path, wish: FilmWish, words: str) -> None:
        run, film, project = self._bench.run, self._bench.film, self._bench.path
        if run is not None and film is not None and project is not None:
            self._row.watch(AnnotateJob(project, run.id, Path(film.path), path, wish), words)

    @Slot(object)
    def _written(self, written: Written) -> None:
        kind = (
            tr("The picture is in {path}.")
            if written.path.suffix == PICTURE
            else tr("The annotated film is in {path}.")
        )
        self._bench.said.emit(" ".join([kind.format(path=written.path), *written.notes]))

    @Slot()
    def _stopped(self) -> None:
        self._bench.said.emit(tr("The annotated film was given up; nothing of it is left."))
