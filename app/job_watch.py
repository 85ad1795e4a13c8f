"""Looks now and then how far work beside the window is, and says what came of it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from analysis.jobs.child import ChildJob, JobState
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr

_LOOK_MS = 100


def said_of_work(words: str, *, waiting: bool) -> str:
    """What is said of work that goes on, or that has to wait for other work."""
    return tr("{what} It waits until other work is done.").format(what=words) if waiting else words


class JobWatch(QObject):
    """Watches one job at a time and closes it when it is done.

    Signals:
        went_on(float): so much of it is done, 0 to 1.
        finished(object): what came of it.
        failed(str): why nothing came of it.
    """

    went_on = Signal(float)
    finished = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._job: ChildJob[Any] | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(_LOOK_MS)
        self._timer.timeout.connect(self._look)

    @property
    def busy(self) -> bool:
        """Whether something goes on."""
        return self._job is not None

    @property
    def progress(self) -> float:
        """How far it is, 0 to 1."""
        return 0.0 if self._job is None else self._job.progress

    @property
    def waiting(self) -> bool:
        """Whether other work has to end first."""
        return self._job is not None and self._job.waits

    def watch(self, job: ChildJob[Any]) -> None:
        """Watch a job that was started; one that went on before is stopped."""
        self.shutdown()
        self._job = job
        self._timer.start()

    def cancel(self) -> None:
        """Stop what goes on; it is then said that nothing came of it."""
        if self._job is not None:
            self._job.cancel()
            self._look()

    def shutdown(self) -> None:
        """Stop what goes on; nothing is said of it."""
        self._timer.stop()
        if self._job is not None:
            self._job.close()
            self._job = None

    @Slot()
    def _look(self) -> None:
        job = self._job
        if job is None:
            return
        state = job.poll()
        self.went_on.emit(job.progress)
        if state in (JobState.WAITING, JobState.RUNNING):
            return
        try:
            result = job.result()
        except CinderlaneError as error:
            self.shutdown()
            self.failed.emit(str(error))
            return
        self.shutdown()
        self.finished.emit(result)
