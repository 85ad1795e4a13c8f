"""What is handed over is written beside the window, one thing at a time."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Slot

from analysis.jobs.child import ChildJob
from analysis.jobs.export import Written
from analysis.values.words import tr
from app.bench import Bench
from app.run.place.work_row import WorkRow

Came = Callable[[Written], str]


class Writer(QObject):
    """Starts the work, and says what came of it; ``row`` shows how far it is and stops it."""

    def __init__(self, bench: Bench, row: WorkRow, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._row = bench, row
        self._came: Came = str
        self._given_up = ""
        row.finished.connect(self._written)
        row.failed.connect(bench.said)
        row.stopped.connect(self._stopped)

    def refuses(self) -> bool:
        """Whether something is being written already; that is said then."""
        if self._row.busy:
            self._bench.said.emit(tr("Something is still being written. Cancel stops it."))
        return self._row.busy

    def start(self, job: ChildJob[Written], words: str, came: Came, given_up: str) -> None:
        """Watch a job that was started. ``words``: what goes on; ``came``: what is said when it is written,
        before its own notes; ``given_up``: what is said where the coach stops it.
        """
        self._came, self._given_up = came, given_up
        self._row.watch(job, words)

    @Slot(object)
    def _written(self, written: Written) -> None:
        self._bench.said.emit(" ".join((self._came(written), *written.notes, *written.left_out)))

    @Slot()
    def _stopped(self) -> None:
        self._bench.said.emit(self._given_up)
