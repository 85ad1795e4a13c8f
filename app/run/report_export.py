"""Pages to hand over: of the run at hand, or of the whole project; written beside the window."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.export import Written
from analysis.jobs.hiding import check_shown
from analysis.jobs.report_job import ReportJob
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr, tr_count
from app import asking
from app.bench import Bench
from app.run.audience_dialog import AudienceDialog
from app.run.writer import Writer


class ReportExport(QObject):
    """Asks who will see them and where to, starts the work."""

    def __init__(self, bench: Bench, writer: Writer, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._writer, self._window = bench, writer, window
        words = tr("Two pages on this run, for the coach and for the athlete, each as HTML and as PDF.")
        self.dialog = AudienceDialog(window, tr("Report page"), words, offer_names=False)
        self.dialog.accepted.connect(self._begin)
        words = tr(
            "The pages of every run, of the squad and of each season, and all tables. A public version holds "
            "the pages of those runs alone that may be shown."
        )
        self.whole_dialog = AudienceDialog(window, tr("Reports of the project"), words, offer_names=False)
        self.whole_dialog.accepted.connect(self._begin_whole)

    @Slot()
    def ask(self) -> None:
        """The pages of the run at hand; says what to do where there is none yet."""
        if self._bench.run is None or self._bench.path is None or self._bench.reading is None:
            self._bench.said.emit(tr("There is nothing to report yet. Open a film and tag its footfalls."))
        elif not self._writer.refuses():
            self.dialog.show()

    @Slot()
    def ask_whole(self) -> None:
        """All pages and tables of the project, into a folder."""
        if self._bench.path is None or not self._bench.project.runs:
            self._bench.said.emit(tr("There is nothing to report yet. Open a project that holds a run."))
        elif not self._writer.refuses():
            self.whole_dialog.show()

    @Slot()
    def _begin(self) -> None:
        run, project, audience = self._bench.run, self._bench.path, self.dialog.choice.audience
        if run is None or project is None or self._writer.refuses():
            return
        try:
            check_shown(self._bench.project, [run], audience)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            return
        path = asking.place_to_save(self._window, tr("Report page"), tr("Page"), ".html")
        if path is not None:
            self._start(ReportJob(project, run.id, path, audience), tr("Writing the report…"))

    @Slot()
    def _begin_whole(self) -> None:
        project, audience = self._bench.path, self.whole_dialog.choice.audience
        if project is None or self._writer.refuses():
            return
        folder = asking.folder_to_fill(self._window, tr("Reports of the project"))
        if folder is not None:
            self._start(ReportJob(project, None, folder, audience), tr("Writing the reports…"))

    def _start(self, job: ReportJob, words: str) -> None:
        given_up = tr("The report was given up. What was written before stays.")
        self._writer.start(job, words, _where, given_up)


def _where(written: Written) -> str:
    files = written.files
    if not files:
        return tr("Nothing was written.")
    if len(files) <= 4:  # the coach's page and the athlete's, each in two ways
        names = ", ".join(path.name for path in files[1:])
        return tr("The report is in {path}; beside it lie {names}.").format(path=files[0], names=names)
    words = tr_count("{count} file is in {folder}.", "{count} files are in {folder}.", len(files))
    return words.format(count=len(files), folder=files[0].parent)
