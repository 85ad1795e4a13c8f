"""The run at hand as an annotated film, or the frame on show as a picture: asked for, written beside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.annotate import PICTURE, AnnotateJob
from analysis.jobs.export import Written
from analysis.jobs.film_runs import runs_shown
from analysis.jobs.film_wish import FilmWish
from analysis.jobs.hiding import check_shown, covers_to_mind
from analysis.report.film_frames import Look
from analysis.report.other_body import Meet
from analysis.values.errors import CinderlaneError
from analysis.values.run import Run
from analysis.values.words import tr
from app import asking
from app.actions import Actions
from app.bench import Bench
from app.run.audience_dialog import AudienceDialog
from app.run.film_export_dialog import FilmExportDialog
from app.run.posture_drawing import PostureDrawing
from app.run.writer import Writer


@dataclass(frozen=True)
class BodiesLaid:
    """Over which of two films the other run's body lies: 0 that of the run at hand, 1 the other; and what of
    both bodies meets.
    """

    films: tuple[int, ...] = ()
    meet: Meet = Meet.HIPS


class FilmExport(QObject):
    """Asks, and starts the work beside.

    ``run_beside``: gives the id of the run that stands beside the one at hand; empty for none.
    ``bodies_over``: over which of the two films the other run's body lies now.
    """

    def __init__(
        self, bench: Bench, actions: Actions, drawing: PostureDrawing, writer: Writer, window: QWidget
    ) -> None:
        super().__init__(window)
        self._bench, self._actions = bench, actions
        self._drawing, self._writer, self._window = drawing, writer, window
        self.run_beside: Callable[[], str] = str  # none
        self.bodies_over: Callable[[], BodiesLaid] = BodiesLaid
        self.dialog = FilmExportDialog(window)
        self.dialog.accepted.connect(self._begin)
        actions.do("export_film", self.ask)
        words = tr("A picture, PNG: the frame on show with what is drawn over it.")
        self.picture_dialog = AudienceDialog(window, tr("Export picture"), words)
        self.picture_dialog.accepted.connect(self._begin_picture)
        actions.do("export_picture", self.ask_for_picture)
        bench.reading_changed.connect(self._offer_anew)

    @Slot()
    def ask(self) -> None:
        """Ask how; says why where nothing can be written."""
        bench, run = self._bench, self._bench.run
        if self._can_begin() and run is not None:
            self.dialog.show_run(bench.project, run, bench.reading, self.run_beside())
            self.dialog.mind_covers(self._covers_to_mind(run))
            self.dialog.numbers.setChecked(self._actions["numbers"].isChecked())
            self.dialog.show()

    @Slot()
    def _offer_anew(self) -> None:
        """The dialog is not modal: another run may come, or an event be tagged, while it is on show."""
        run = self._bench.run
        if run is not None and self.dialog.isVisible():
            self.dialog.show_run(self._bench.project, run, self._bench.reading)
            self.dialog.mind_covers(self._covers_to_mind(run))

    def _covers_to_mind(self, run: Run) -> tuple[str, ...]:
        film = self._bench.film
        if film is None:
            return ()
        covers = self._bench.project.covers_of(run.film_id)
        return covers_to_mind(covers, film.facts.times, range(run.first_frame, run.last_frame + 1))

    @Slot()
    def ask_for_picture(self) -> None:
        """Ask who will see the frame on show with what lies over it."""
        if self._can_begin():
            self.picture_dialog.show()

    def _can_begin(self) -> bool:
        if self._bench.run is None:
            self._bench.said.emit(tr("Open a film first: it is written with what is drawn over it."))
        elif self._bench.film is None:
            self._bench.said.emit(tr("The film is not shown: find it first."))
        else:
            return not self._writer.refuses()
        return False

    @Slot()
    def _begin(self) -> None:
        wish = self.dialog.wish(self._drawing.drawn)
        if wish.beside and wish.beside == self.run_beside():
            laid = self.bodies_over()
            wish = replace(wish, look=replace(wish.look, bodies=laid.films, meet=laid.meet))
        if self._may_be_shown(wish):
            path = asking.place_to_save(self._window, tr("Export annotated film"), tr("Film"), ".mp4")
            if path is not None:
                self._start(path, wish, tr("Writing the annotated film…"))

    @Slot()
    def _begin_picture(self) -> None:
        frame, numbers = int(self._bench.frame), self._actions["numbers"].isChecked()
        look, audience = Look(self._drawing.drawn, numbers), self.picture_dialog.choice.audience
        wish = FilmWish(look=look, first=frame, last=frame, audience=audience)
        if self._may_be_shown(wish):
            path = asking.place_to_save(self._window, tr("Export picture"), tr("Picture"), PICTURE)
            if path is not None:
                self._start(path, wish, tr("Writing the picture…"))

    def _may_be_shown(self, wish: FilmWish) -> bool:
        """Says why not where it may not be."""
        run, project = self._bench.run, self._bench.project
        if not self._can_begin() or run is None:
            return False
        try:
            check_shown(project, runs_shown(project, run.id, wish), wish.audience)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            return False
        return True

    def _start(self, path: Path, wish: FilmWish, words: str) -> None:
        run, film, project = self._bench.run, self._bench.film, self._bench.path
        if run is not None and film is not None and project is not None:
            job = AnnotateJob(project, run.id, Path(film.path), path, wish)
            given_up = tr("What was being written was given up; nothing of it is left.")
            self._writer.start(job, words, _came, given_up)


def _came(written: Written) -> str:
    if written.path.suffix.lower() == PICTURE:
        return tr("The picture is in {path}.").format(path=written.path)
    return tr("The annotated film is in {path}.").format(path=written.path)
