"""The pages about the run at hand: one for the coach, one for the athlete beside it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.runs import first_taggings
from analysis.report.posture_strip import PostureStrip
from analysis.report.told import Told
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.run.strip_export import strip_of
from app.run.strip_pictures import StripPictures


class ReportExport(QObject):
    """Asks where to, waits for the film's pictures, writes both pages of the run as it was when asked."""

    def __init__(self, bench: Bench, pictures: StripPictures, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._pictures, self._window = bench, pictures, window
        self._waiting: tuple[Path, Told, PostureStrip] | None = None
        pictures.came.connect(self._write)
        pictures.failed.connect(self._write)  # then without the strip

    @Slot()
    def ask(self) -> None:
        """Write the pages; says what to do where there is no run yet."""
        told = self._told()
        if told is None:
            self._bench.said.emit(tr("There is nothing to report yet. Open a film and tag its footfalls."))
            return
        path = asking.place_to_save(self._window, tr("Report page"), tr("Page"), ".html")
        if path is None:
            return
        strip = strip_of(self._bench)
        self._waiting = (path, told, strip)
        self._pictures.want(frame.frame for frame in strip.frames)
        if not self._pictures.busy:
            self._write()

    def _told(self) -> Told | None:
        from analysis.jobs.report import told_of  # templates and workbooks: not needed to start

        bench = self._bench
        if bench.evidence is None or bench.reading is None:
            return None
        notes = bench.film.notes if bench.film is not None else ()
        others = (bench.look(run.id) for run in first_taggings(bench.project))
        readings = [look.reading for look in others if look is not None and look.reading is not None]
        return told_of(bench.project, bench.evidence, bench.reading, bench.film, notes, readings)

    @Slot()
    def _write(self) -> None:
        if self._waiting is None or self._pictures.busy:
            return
        from analysis.jobs.report import with_strip, write_pages

        (path, told, strip), self._waiting = self._waiting, None
        athlete = path.with_name(f"{path.stem}-athlete{path.suffix}")
        try:
            write_pages(with_strip(told, strip, self._pictures.kept), path, athlete)
            words = tr("The report is in {path}; the athlete's page, {athlete}, lies beside it.")
            self._bench.said.emit(words.format(path=path, athlete=athlete.name))
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
