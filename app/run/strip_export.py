"""The posture strip of the run at hand as a picture file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.export import write_whole
from analysis.report.posture_strip import PostureStrip, posture_strip
from analysis.report.strip_drawing import strip_picture
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.run.strip_pictures import StripPictures


class StripExport(QObject):
    """Asks where to, waits for the film's pictures, writes the strip."""

    def __init__(self, bench: Bench, pictures: StripPictures, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._pictures, self._window = bench, pictures, window
        self._waiting: tuple[Path, PostureStrip, str] | None = None
        pictures.came.connect(self._write)
        pictures.failed.connect(self._failed)

    @Slot()
    def ask(self) -> None:
        """Export the strip of the run as it is now; says why where it can't be."""
        strip, run = strip_of(self._bench), self._bench.run
        if run is None or not strip.frames or self._bench.film is None:
            self._bench.said.emit(strip.reason or tr("The film is not shown: find it first."))
            return
        path = asking.place_to_save(self._window, tr("Export the posture strip"), tr("Picture"), ".png")
        if path is None:
            return
        self._waiting = (path, strip, run.name)
        self._pictures.want(f.frame for f in strip.frames)
        self._write()

    @Slot()
    def _write(self) -> None:
        if self._waiting is None or self._pictures.busy:
            return
        (path, strip, title), self._waiting = self._waiting, None
        try:
            write_whole(path, strip_picture(strip, self._pictures.kept, title))
            self._bench.said.emit(tr("The posture strip is in {path}.").format(path=path))
        except CinderlaneError as error:
            self._bench.said.emit(str(error))

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        if self._waiting is not None:
            self._waiting = None
            self._bench.said.emit(sentence)


def strip_of(bench: Bench) -> PostureStrip:
    """The strip of the run at hand; empty, with what to do, where there is none."""
    evidence, reading = bench.evidence, bench.reading
    if evidence is None or reading is None:
        return PostureStrip(reason=tr("Open a film and tag a run: the frames of its events stand here."))
    return posture_strip(evidence, reading)
