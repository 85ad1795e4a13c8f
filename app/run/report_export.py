"""Pages to hand over: of the run at hand, or of the whole project; written beside the window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.report_job import ReportJob, Written
from analysis.values.words import tr, tr_count
from app import asking
from app.bench import Bench
from app.run.place.work_row import WorkRow


class ReportExport(QObject):
    """Asks where to, starts the work, says what came of it. ``row``: shows how far it is."""

    def __init__(self, bench: Bench, row: WorkRow, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._row, self._window = bench, row, window
        row.finished.connect(self._written)
        row.failed.connect(bench.said)
        row.stopped.connect(self._stopped)

    @Slot()
    def ask(self) -> None:
        """The pages of the run at hand; says what to do where there is none yet."""
        run, project = self._bench.run, self._bench.path
        if run is None or project is None or self._bench.reading is None:
            self._bench.said.emit(tr("There is nothing to report yet. Open a film and tag its footfalls."))
        elif not self._busy():
            path = asking.place_to_save(self._window, tr("Report page"), tr("Page"), ".html")
            if path is not None:
                self._row.watch(ReportJob(project, run.id, path), tr("Writing the report…"))

    @Slot()
    def ask_whole(self) -> None:
        """All pages and tables of the project, into a folder."""
        project = self._bench.path
        if project is None or not self._bench.project.runs:
            self._bench.said.emit(tr("There is nothing to report yet. Open a project that holds a run."))
        elif not self._busy():
            folder = asking.folder_to_fill(self._window, tr("Reports of the project"))
            if folder is not None:
                self._row.watch(ReportJob(project, None, folder), tr("Writing the reports…"))

    def _busy(self) -> bool:
        if self._row.busy:
            self._bench.said.emit(tr("A report is still being written. Cancel stops it."))
        return self._row.busy

    @Slot(object)
    def _written(self, written: Written) -> None:
        self._bench.said.emit(" ".join((_where(written.files), *written.notes)))

    @Slot()
    def _stopped(self) -> None:
        self._bench.said.emit(tr("The report was given up. What was written before stays."))


def _where(files: tuple[Path, ...]) -> str:
    if not files:
        return tr("Nothing was written.")
    if len(files) <= 4:  # the coach's page and the athlete's, each in two ways
        names = ", ".join(path.name for path in files[1:])
        return tr("The report is in {path}; beside it lie {names}.").format(path=files[0], names=names)
    words = tr_count("{count} file is in {folder}.", "{count} files are in {folder}.", len(files))
    return words.format(count=len(files), folder=files[0].parent)
