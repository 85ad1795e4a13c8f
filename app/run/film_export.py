"""The run at hand as an annotated film: how fast, where to, how far the writing is."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QVBoxLayout,
    QWidget,
)

from analysis.jobs.annotate import AnnotateJob
from analysis.report.film_order import LONGEST_HOLD_S, Pace
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.film.transport import SPEEDS
from app.run.place.work_row import WorkRow
from app.run.posture_drawing import PostureDrawing
from app.run.section_view import said
from app.theme.tokens import Space

_USUAL = 0.25


class FilmExportDialog(QDialog):
    """How fast the film is to be, and how long it stands at every touchdown. Not modal."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Export annotated film"))
        self.speed = QComboBox(self)
        for share in sorted(SPEEDS):
            self.speed.addItem(tr("{share:g} × real time").format(share=share), share)
        self.speed.setCurrentIndex(self.speed.findData(_USUAL))
        self.hold = QDoubleSpinBox(self)
        self.hold.setRange(0.0, LONGEST_HOLD_S)
        self.hold.setSingleStep(0.5)
        self.hold.setDecimals(1)
        self.hold.setSuffix(tr(" s"))
        self.hold.setSpecialValueText(tr("not at all"))
        form = QFormLayout()
        form.addRow(tr("Speed"), self.speed)
        form.addRow(tr("Stand at each touchdown"), self.hold)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        self.write = buttons.addButton(tr("Write the film…"), QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(Space.WIDE)
        words = tr("MP4 for any phone, without names. What is drawn over the film is drawn on it.")
        column.addWidget(said(words, "caption", wrap=True))
        column.addLayout(form)
        column.addWidget(buttons)

    @property
    def pace(self) -> Pace:
        """What was chosen."""
        return Pace(float(self.speed.currentData()), round(self.hold.value(), 1))


class FilmExport(QObject):
    """Asks, starts the work beside, and says what came of it; ``row`` shows how far it is."""

    def __init__(self, bench: Bench, drawing: PostureDrawing, row: WorkRow, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._drawing, self._row, self._window = bench, drawing, row, window
        self.dialog = FilmExportDialog(window)
        self.dialog.accepted.connect(self._begin)
        row.finished.connect(self._written)
        row.failed.connect(bench.said)
        row.stopped.connect(self._stopped)

    @Slot()
    def ask(self) -> None:
        """Ask how; says why where nothing can be written."""
        if self._bench.run is None:
            self._bench.said.emit(tr("Open a film first: it is written with what is drawn over it."))
        elif self._bench.film is None:
            self._bench.said.emit(tr("The film is not shown: find it first."))
        elif self._row.busy:
            self._bench.said.emit(tr("An annotated film is still being written. Cancel stops it."))
        else:
            self.dialog.show()

    @Slot()
    def _begin(self) -> None:
        bench = self._bench
        run, film, project = bench.run, bench.film, bench.path
        if run is None or film is None or project is None:
            return
        path = asking.place_to_save(self._window, tr("Export annotated film"), tr("Film"), ".mp4")
        if path is None:
            return
        job = AnnotateJob(project, run.id, Path(film.path), path, self.dialog.pace, self._drawing.drawn)
        self._row.watch(job, tr("Writing the annotated film…"))

    @Slot(object)
    def _written(self, path: Path) -> None:
        self._bench.said.emit(tr("The annotated film is in {path}.").format(path=path))

    @Slot()
    def _stopped(self) -> None:
        self._bench.said.emit(tr("The annotated film was given up; nothing of it is left."))
